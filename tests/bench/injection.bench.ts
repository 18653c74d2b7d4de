/**
 * A suggestion for one run of 1,000 pixels with six supplies to choose from: the search with its bound beside the same
 * search that tries every set of places (`npm run bench -- injection`; with `--quick` without the latter). The plan is
 * read and solved before. Prints; asserts nothing.
 */
import { Host } from '#server/analysis/host.ts';
import { SEARCH_OPTIONS, type SearchResult, searchInjection } from '#server/planning/injection-search.ts';
import { titleOf } from '#server/planning/suggest-injection.ts';
import { longRunPlan } from '../support/long-run-plan.ts';
import { processorTime, show, timingOf } from './measure.ts';

const MAIN = 'file:///bench/plan.festoon';
const WARM_UP = 3;
const REPEATS = 11;

interface Outcome extends Pick<SearchResult, 'trials' | 'isProven'> {
  readonly title: string;
  /** ms of processor time. */
  readonly time: number;
}

/** Each search has a host of its own, so that none finds what another one solved. */
function search(text: string, useBound: boolean): Outcome {
  const host = new Host(() => ({ missing: true }));
  host.setFile(MAIN, text);
  const analysis = host.analyse(MAIN);
  const { plan } = analysis;
  const run = plan.runs.get('long');
  if (run === undefined) throw new Error('the plan has no run');
  const ctx = { ...analysis, preview: (edits: Parameters<Host['preview']>[1]) => host.preview(MAIN, edits) };
  const budget = useBound ? SEARCH_OPTIONS.budget : { looks: 1e9, trials: 1e9 };
  const begin = processorTime();
  const { answers, trials, isProven } = searchInjection(ctx, run, {
    ...SEARCH_OPTIONS,
    budget,
    wanted: useBound ? SEARCH_OPTIONS.wanted : 1,
    useBound,
    // As the editor asks: alternatives are tried as a whole when one is taken.
    defers: useBound,
  });
  const time = processorTime() - begin;
  const [first] = answers;
  return { trials, isProven, time, title: first === undefined ? 'nothing found' : titleOf(plan, first) };
}

for (const brightness of [15, 30, 60, 100]) {
  const text = longRunPlan({ strings: 10, brightness, rated: 80, supplies: 6 });
  for (let count = 0; count < WARM_UP; count++) search(text, true);
  const outcomes = Array.from({ length: REPEATS }, () => search(text, true));
  const ours = timingOf(outcomes.map(({ time }) => time));
  const [first] = outcomes;
  console.log(`brightness ${brightness} %: ${first?.title}`);
  console.log(`  with the bound: ${show(ours)}, ${first?.trials} trials, ${first?.isProven ? 'proven' : 'not proven'}`);
  if (brightness > 30 || process.argv.includes('--quick')) continue; // Every set of places would take minutes.
  const all = search(text, false);
  console.log(
    `  every set:      ${show(timingOf([all.time]))}, ${all.title}, ${(all.time / ours.median).toFixed(0)} times as long`,
  );
}

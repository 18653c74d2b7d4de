/**
 * A suggestion for one run of 1,000 pixels with six supplies to choose from: the search with its bound beside the same
 * search that tries every set of places (`npm run bench -- injection`). Prints; asserts nothing.
 */
import { Host } from '#server/analysis/host.ts';
import { SEARCH_OPTIONS, type SearchResult, searchInjection } from '#server/planning/injection-search.ts';
import { titleOf } from '#server/planning/suggest-injection.ts';
import { measure, show, sink } from './measure.ts';

const MAIN = 'file:///bench/plan.festoon';

/** Ten outlines of a hundred pixels in a row; a supply at each of six places. */
function planText(brightness: number): string {
  const supplies = [1, 2, 3, 4, 5, 6];
  return `plan "bench" {
  design-for full-white at ${brightness} %
}
part pixel bullet {
  voltage 12 V
  least 10.8 V
  red 18.5 mA  knee 7.2 V  dark 6 V
  green 18.5 mA  knee 10.4 V  dark 9.6 V
  blue 18.5 mA  knee 10.4 V  dark 9.6 V
  idle 1 mA
  wire 18 AWG
  rated 5 A
}
part cable lead {
  conductor 18 AWG
  carries ground data
}
part cable two-core-14 {
  conductor 14 AWG
  carries V+ ground
}
part cable two-core-12 {
  conductor 12 AWG
  carries V+ ground
}
part supply psu-part {
  voltage 12 V
  rated 80 A
}
part controller board {
  ports 4
}
place roof
${supplies.map((number) => `place box-${number}\nroute box-${number} to roof  ${2 * number} m\n`).join('')}
${supplies.map((number) => `supply psu-${number}  of psu-part  at box-${number} {\n  output 1  fuse 5 A\n}\n`).join('')}
controller box  of board  from psu-1.1
run long  from box.1  at roof {
  lead 2 m  of lead
${Array.from({ length: 10 }, (_, index) => `  outline s${index + 1}  100 px  of bullet  every 50 mm\n`).join('')}}
`;
}

function search(text: string, useBound: boolean): SearchResult {
  const host = new Host(() => ({ missing: true }));
  host.setFile(MAIN, text);
  const analysis = host.analyse(MAIN);
  const { plan } = analysis;
  const run = plan.runs.get('long');
  if (run === undefined) throw new Error('the plan has no run');
  const ctx = { ...analysis, preview: (edits: Parameters<Host['preview']>[1]) => host.preview(MAIN, edits) };
  const begin = performance.now();
  const budget = useBound ? SEARCH_OPTIONS.budget : { looks: 1e9, trials: 1e9 };
  const result = searchInjection(ctx, run, { ...SEARCH_OPTIONS, budget, wanted: useBound ? 3 : 1, useBound });
  sink.value = performance.now() - begin;
  const [first] = result.answers;
  titles.set(`${useBound}`, first === undefined ? 'nothing found' : titleOf(plan, first));
  return result;
}

const titles = new Map<string, string>();

for (const brightness of [15, 30, 60, 100]) {
  const text = planText(brightness);
  const ours = measure(3, 9, () => search(text, true));
  const { trials, isProven } = search(text, true);
  console.log(`brightness ${brightness} %: ${titles.get('true')}`);
  console.log(`  with the bound: ${show(ours)}, ${trials} trials, ${isProven ? 'proven' : 'not proven'}`);
  if (brightness > 30) continue; // Every set of places would take minutes.
  const all = measure(0, 1, () => search(text, false));
  console.log(
    `  every set:      ${show(all)}, ${titles.get('false')}, ${(all.median / ours.median).toFixed(0)} times as long`,
  );
}

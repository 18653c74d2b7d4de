import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import { worstString } from '../../checks/low-voltage.ts';
import { leastRefresh } from '../../checks/panel-refresh.ts';
import { isDark } from '../../checks/string-state.ts';
import { pixelsOf, type RunAccount } from '../../model/account.ts';
import { addressesOf, type RunAddress } from '../../model/addresses.ts';
import { colourNames, colourShares, colourShiftOf, isShifted } from '../../model/colour-shift.ts';
import {
  firstPixelOf,
  isFloods,
  panelsOf,
  type Refresh,
  refreshOf,
  sizeText,
  unitOfRun,
} from '../../model/fixtures.ts';
import { frameTime } from '../../model/frame-time.ts';
import { isNull, neededVolts } from '../../model/null-pixels.ts';
import type { Design, Feed, Plan, Run, StringPiece, Tap } from '../../model/plan.ts';
import { portName } from '../../model/port-of.ts';
import { amps, grouped, metres, rating, share, volts } from '../../model/texts.ts';
import { type Card, type Fact, fact, type Picture } from '../card.ts';
import { voltagePlot } from '../voltage-plot.ts';
import { conditions, whyUnsolved } from './conditions.ts';
import { addressFact, marginFacts, pixelAddressFact } from './data-facts.ts';

export function runCard(analysis: Analysis, run: Run): Card {
  const account = analysis.account.runs.get(run);
  if (account === undefined || run.pixelCount === 0) {
    const why =
      run.pixelCount === 0 ? whyEmpty(run) : whyUnsolved(analysis, (solved) => solved.island.runs.includes(run));
    return unsolvedCard(analysis, run, why);
  }
  if (account.strings.every(isDark))
    return unsolvedCard(
      analysis,
      run,
      'No supply reaches it, so all of it is dark. Feed it from an output, or let its port pass V+ on.',
    );
  const { design } = analysis.plan;
  const address = addressesOf(analysis.plan).get(run);
  const told = TOLD.get(account);
  if (told?.design === design && told.spans === address?.spans && told.isPinned === address?.isPinned) return told.card;
  const card = solvedCard(analysis, account);
  TOLD.set(account, { design, spans: address?.spans, isPinned: address?.isPinned, card });
  return card;
}

/** What is told of a run, with all that it was taken from beside the account: it stays while others are edited. */
interface Told {
  readonly design: Design;
  readonly spans: RunAddress['spans'] | undefined;
  readonly isPinned: boolean | undefined;
  readonly card: Card;
}

const TOLD = new WeakMap<RunAccount, Told>();

function unsolvedCard(analysis: Analysis, run: Run, why: string): Card {
  const facts = [...sizeFact(analysis.plan, run), ...frameFact(analysis.plan, run), ...addressFact(analysis.plan, run)];
  return { ...headOf(run), facts, notes: [why] };
}

function solvedCard(analysis: Analysis, account: RunAccount): Card {
  const { plan } = analysis;
  const { run } = account;
  // It has strings, so one of its pixels has the least.
  const least = sure(account.least);
  return {
    ...headOf(run),
    summary: `${amps(account.amps)}, least ${volts(least.volts)} at ${unitOfRun(run)} ${least.pixel}`,
    facts: [
      ...sizeFact(plan, run),
      ...fact('load', amps(account.amps)),
      ...leastFact(account, least),
      ...shiftFact(plan, account),
      ...portFact(account),
      ...feedFacts(analysis, account),
      ...groundFact(account),
      ...marginFacts(plan, account),
      ...frameFact(plan, run),
      ...addressFact(plan, run),
    ],
    picture: runPlot(account),
    notes: [conditions(plan)],
  };
}

function headOf(run: Run): Omit<Card, 'facts'> {
  return {
    kind: isFloods(run) ? 'flood' : 'run',
    name: run.name,
    label: run.label,
    description: run.description,
  };
}

function sizeFact(plan: Plan, run: Run): Fact[] {
  const unit = unitOfRun(run);
  return fact(`${unit}s`, unit === 'pixel' ? sizeOf(plan, run) : sizeText(run));
}

function whyEmpty(run: Run): string {
  return run.pieces.some((piece) => piece.kind !== 'lead')
    ? 'Nothing is computed: none of its strings could be read. The findings on its lines say why.'
    : 'Nothing is computed: it has no pixels yet, or their part is not complete. Write in its block: string 50 px of … every 75 mm';
}

function sizeOf(plan: Plan, run: Run): string {
  let length = 0;
  let dark = 0;
  for (const piece of run.pieces) {
    if (piece.kind === 'string' && isNull(piece.line)) dark += piece.count;
    if (piece.kind === 'string') length += piece.count * piece.pitch;
    if (piece.kind === 'gap') length += piece.length;
  }
  const all = `${grouped(run.pixelCount)} on ${metres(length, plan.design.units)}`;
  return dark === 0 ? all : `${all}, ${dark} of them dark`;
}

/** The least voltage, or where another pixel is further below what its part needs, that one too. */
function leastFact(account: RunAccount, least: { readonly volts: number; readonly pixel: number }): Fact[] {
  const string = sure(stringAt(account.run, least.pixel));
  const facts = fact(
    'least voltage',
    `${volts(least.volts)} at ${unitOfRun(account.run)} ${least.pixel}`,
    needText(string, least.volts),
  );
  const worst = worstString(account);
  if (worst !== undefined && worst.least.pixel !== least.pixel) {
    facts.push(
      ...fact(
        'furthest below its limit',
        `${volts(worst.least.volts)} at ${unitOfRun(account.run)} ${worst.least.pixel}`,
        needText(worst.piece, worst.least.volts),
      ),
    );
  }
  return facts;
}

/** Which colour starves first: white turns warm there before anything goes dark. */
function shiftFact({ design }: Plan, account: RunAccount): Fact[] {
  const shift = colourShiftOf(account, design.look.value);
  if (shift === undefined) return [];
  const rest = shift.all.filter(({ colour }) => !shift.colours.includes(colour));
  return fact(
    'colour shift',
    `${colourNames(shift.colours)} at ${share(shift.share)} at pixel ${shift.pixel}`,
    rest.length === 0 ? undefined : rest.map((each) => `${each.colour} at ${share(each.share)}`).join(', '),
  );
}

function needText(string: StringPiece, found: number): string | undefined {
  if (isNull(string.line)) return undefined;
  const { least } = string.part;
  const spare = found - least.value;
  const from = least.origin === undefined ? `, ${least.source}` : '';
  return `${string.part.name} needs ${volts(least.value)}${from}; ${volts(Math.abs(spare))} ${spare < 0 ? 'too little' : 'to spare'}`;
}

function portFact(account: RunAccount): Fact[] {
  const { run } = account;
  if (run.controller === undefined || run.port === undefined) return [];
  const name = `${run.controller.name}.${run.port}`;
  const fuse = run.controller.part?.portFuse;
  if (fuse === undefined) return fact('port', name, 'data and ground only');
  return fact(
    'port',
    `${name} passes ${amps(account.portAmps)}`,
    `${share(account.portAmps / fuse)} of its ${rating(fuse)} fuse`,
  );
}

function feedFacts(analysis: Analysis, account: RunAccount): Fact[] {
  return tapsOf(account)
    .slice(0, 12)
    .flatMap(({ feed, tap, index }) => {
      const through = analysis.account.feeds.get(feed)?.pieces[index]?.positive;
      return fact(`feed ${feed.name}`, through === undefined ? tap.text : `${amps(through)} at ${tap.text}`);
    });
}

/** A shift of the ground eats the margin of the data signal; below a tenth of a volt nobody needs to know. */
function groundFact(account: RunAccount): Fact[] {
  return !(Math.abs(account.groundShift) >= 0.1)
    ? []
    : fact('ground at the first pixel', `${volts(account.groundShift)} above the controller`);
}

function frameFact(plan: Plan, run: Run): Fact[] {
  if (run.pixelCount === 0 || isFloods(run)) return [];
  const refresh = refreshOf(panelsOf(run).map((piece) => piece.part.panel));
  if (refresh !== undefined) return refreshFact(plan, run, refresh);
  const rate = plan.design.frameRate;
  const from = rate.origin === undefined ? `, ${rate.source}` : '';
  return fact(
    'frame time',
    `${(frameTime(run) * 1000).toFixed(1)} ms`,
    `of ${(1000 / rate.value).toFixed(1)} ms at ${rate.value} fps${from}`,
  );
}

function refreshFact(plan: Plan, run: Run, refresh: Refresh): Fact[] {
  const least = leastRefresh(plan, run);
  return fact(
    'refresh',
    `${(1 / refresh.seconds).toFixed(1)} Hz`,
    `at least ${least.value} Hz, ${least.source}; ${(refresh.seconds * 1000).toFixed(2)} ms a picture, lit ${share(refresh.light)} of the time`,
  );
}

/** Drawn once: the account of a run stays the same while others are edited. */
export function runPlot(account: RunAccount): Picture | undefined {
  let plot = PLOTS.get(account);
  if (plot === undefined) {
    plot = drawPlot(account);
    if (plot !== undefined) PLOTS.set(account, plot);
  }
  return plot;
}

const PLOTS = new WeakMap<RunAccount, Picture>();

function drawPlot(account: RunAccount): Picture | undefined {
  const { run } = account;
  const taps = tapsOf(account).map(({ tap }) => ({ pixel: pixelOfTap(tap), name: tap.text }));
  if (account.portAmps > 0) taps.unshift({ pixel: 1, name: portName(run) });
  return voltagePlot({ name: run.name, volts: pixelsOf(account).volts, limits: limitsOf(run), taps });
}

/** The number along the run of the pixel at a tap; a joint before a string counts as its first pixel. */
export function pixelOfTap(tap: Tap): number {
  return tap.piece.first + Math.max(tap.pixel, 1) - 1;
}

/** Least voltage of the parts along the run, one entry where it changes. */
function limitsOf(run: Run): { first: number; volts: number }[] {
  const limits: { first: number; volts: number }[] = [];
  for (const piece of run.pieces) {
    const least = piece.kind === 'string' ? neededVolts(piece) : undefined;
    if (piece.kind !== 'string' || least === undefined || limits.at(-1)?.volts === least) continue;
    limits.push({ first: piece.first, volts: least });
  }
  return limits;
}

/** Everywhere that a feed joins a run, with the place of the tap among the feed's pieces. */
function tapsOf({ run, solved }: RunAccount): { feed: Feed; tap: Tap; index: number }[] {
  return solved.island.feeds.flatMap((feed) =>
    feed.pieces.flatMap((piece, index) =>
      piece.kind === 'tap' && piece.tap.run === run ? [{ feed, tap: piece.tap, index }] : [],
    ),
  );
}

export function stringAt(run: Run, pixel: number): StringPiece | undefined {
  return run.pieces.find(
    (piece): piece is StringPiece =>
      piece.kind === 'string' && pixel >= piece.first && pixel < piece.first + piece.count,
  );
}

/** One pixel of a run: `eaves[116]`. */
export function pixelCard(analysis: Analysis, run: Run, pixel: number): Card {
  const base = { kind: unitOfRun(run), name: `${run.name}[${pixel}]` };
  const string = stringAt(run, pixel);
  const account = analysis.account.runs.get(run);
  if (string === undefined) return { ...base, facts: [], notes: [`${run.name} has ${sizeText(run)}.`] };
  const part = [
    ...fact('part', string.part.name, string.part.label),
    ...pixelAddressFact(analysis.plan, run, firstPixelOf(run, pixel)),
  ];
  if (account === undefined)
    return { ...base, facts: part, notes: [whyUnsolved(analysis, (solved) => solved.island.runs.includes(run))] };
  const pixels = pixelsOf(account);
  const found = sure(pixels.volts[pixel - 1]);
  return {
    ...base,
    facts: [
      ...part,
      ...fact('voltage', volts(found), needText(string, found)),
      ...fact('current', amps(sure(pixels.amps[pixel - 1]))),
      ...colourFact(analysis.plan, string, found),
    ],
    picture: runPlot(account),
    notes: [conditions(analysis.plan)],
  };
}

/** What is left of each colour's light; nothing where all have all of it. */
function colourFact({ design }: Plan, { part }: StringPiece, found: number): Fact[] {
  const shares = colourShares(part, design.look.value, found);
  if (!isShifted(shares)) return [];
  return fact('colours', shares.map((each) => `${colourNames([each.colour])} at ${share(each.share)}`).join(', '));
}

import { exact } from '#grammar/exact.ts';
import { sure } from '#grammar/sure.ts';
import type { BOND, FEED, MEASURED } from '#grammar/words/runs.ts';
import { originOf } from '../binding.ts';
import type { Bound, Given, Measure, PathValue, Reference } from '../bound.ts';
import type { Origin } from '../finding.ts';
import { nameOrigin } from '../names.ts';
import type { CablePart, Conductor, Controller, Design, FeedPiece, Run, StringPiece, Supply, Tap } from '../plan.ts';
import { closest } from '../spelling.ts';
import { statedWay } from '../stated-cables.ts';
import { type Build, cableLength, namedBy, placesOf } from './context.ts';
import { outputOf } from './outputs.ts';

/** Feeds with their taps, and bonds. */

type WiredCable = CablePart & { readonly conductor: Conductor };

export function addFeed(build: Build, statement: Bound<typeof FEED>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { from, tap, cable, connector } = statement.fields;
  const pieces: FeedPiece[] = [];
  let isWhole = true;
  const addCable = (line: { readonly fields: CableFields; readonly said: ReadonlySet<string> }, at: Origin) => {
    const piece = cablePiece(build, line, at);
    if (piece === undefined) isWhole = false;
    else pieces.push(piece);
  };
  const addTap = (given: Given<Reference> | undefined, with_: Given<Reference> | undefined) => {
    const found = tapOf(build, given);
    if (found !== undefined)
      pieces.push({ kind: 'tap', tap: found, connector: build.connectors.refer(with_), origin: found.origin });
  };
  if (cable !== undefined) addCable(statement, statement.keyword);
  if (tap !== undefined) addTap(tap, connector);
  for (const line of statement.block) {
    if (
      line.word === 'tap' &&
      cable === undefined &&
      statement.block.every((other) => other.word !== 'cable' || other.line.start > line.line.start)
    ) {
      build.report({
        code: 'stray-line',
        origin: line.keyword,
        message: 'A feed starts with a cable: write a line such as "cable 12 m of …" above its first tap.',
      });
      continue;
    }
    if (line.word === 'cable') addCable(line, line.keyword);
    else addTap(line.fields.tap, line.fields.connector);
  }
  const has = (word: 'cable' | 'tap') => statement.block.some((line) => line.word === word);
  const complete = (cable !== undefined || has('cable')) && (tap !== undefined || has('tap'));
  if (!complete) {
    build.report({
      code: 'missing-phrase',
      origin: named.origin,
      message: 'A feed needs a tap and a cable: to eaves.end  20 m of two-core-14. Or a block of cable and tap lines.',
    });
  }
  // A tap without the cable to it would feed its run without any loss: until it can be read, the feed feeds nothing.
  const laid = exact(isWhole && complete ? pieces : []);
  build.feeds.add({ kind: 'feed', ...named, from: outputOf(build, from), fromOrigin: from?.origin, pieces: laid });
}

interface CableFields {
  readonly length?: Given<Measure>;
  readonly cable?: Given<Reference>;
  readonly parallel?: Given<number>;
  readonly path?: Given<PathValue>;
}

function cablePiece(
  build: Build,
  { fields, said }: { readonly fields: CableFields; readonly said: ReadonlySet<string> },
  at: Origin,
): FeedPiece | undefined {
  const cable = build.cables.refer(fields.cable);
  const path = placesOf(build, fields.path);
  if (fields.cable === undefined) return undefined;
  const length = cableLength(build, fields.length, path, fields.path?.origin ?? at, 'cable', said);
  if (length === undefined || cable?.conductor === undefined) return undefined;
  const stated = statedWay(build.routes, fields.length, path);
  return {
    kind: 'cable',
    length,
    cable: cable as WiredCable,
    parallel: fields.parallel?.value ?? 1,
    path,
    ...(stated && { stated }),
    origin: at,
    cableOrigin: fields.cable.origin,
  };
}

export function addBond(build: Build, statement: Bound<typeof BOND>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const side = (given: Given<Reference> | undefined): Supply | Controller | undefined => {
    if (given === undefined) return undefined;
    const controller = build.controllers.map.get(given.value.name);
    return controller === undefined ? build.supplies.refer(given) : build.controllers.refer(given);
  };
  const from = side(statement.fields.from);
  const to = side(statement.fields.to);
  const cable = build.cables.refer(statement.fields.cable);
  const length = statement.fields.length?.value.si;
  if (from !== undefined && from === to) {
    build.report({
      code: 'impossible-value',
      origin: sure(statement.fields.to).origin,
      message: `A bond joins the grounds of two things; this one goes from ${from.name} to itself. Name the other side.`,
    });
    return;
  }
  if (from === undefined || to === undefined || cable?.conductor === undefined || length === undefined) return;
  build.bonds.add({ kind: 'bond', ...named, from, to, length, cable: cable as WiredCable });
}

/** A reading; what is not said of the look is as the plan is designed for. */
export function addMeasured(build: Build, statement: Bound<typeof MEASURED>, design: Design): void {
  const { tap, volts, look, share, date } = statement.fields;
  const found = tapOf(build, tap);
  if (found === undefined || volts === undefined) return;
  build.measurements.push({
    tap: found,
    volts: volts.value.si,
    look: look?.value ?? design.look.value,
    brightness: share?.value.si ?? design.brightness.value,
    date: date?.value,
    voltsOrigin: volts.origin,
  });
}

/**
 * The joint that a reference names: `eaves[116]`, `eaves.end`, `eaves.gable[3]`, `sail.canvas(5)`, `yard.flakes(3).end`.
 * A string without a pixel number means the joint before its first pixel.
 */
export function tapOf(build: JointContext, given: Given<Reference> | undefined): Tap | undefined {
  const found = given === undefined ? undefined : stringsOf(build, given);
  if (found === undefined || given === undefined) return undefined;
  return jointIn(build, found.run, found.chosen, found.pixel ?? 'start', given);
}

/** What is needed to look joints up. */
export type JointContext = Pick<Build, 'runs' | 'report' | 'uses'>;

interface FoundStrings {
  readonly run: Run;
  /** At least one. */
  readonly chosen: readonly StringPiece[];
  /** The pixel or end that is named; undefined where the reference ends with a run, string, strand or copy. */
  readonly pixel: number | 'start' | 'end' | undefined;
}

/** The strings of a run that a reference names; reports and gives nothing where there are none. */
export function stringsOf(build: JointContext, given: Given<Reference>): FoundStrings | undefined {
  const run = build.runs.refer(given);
  // What is wrong with the strings of a run has been reported there.
  if (run === undefined || run.pixelCount === 0) return undefined;
  let chosen: readonly StringPiece[] = run.pieces.filter((piece): piece is StringPiece => piece.kind === 'string');
  let pixel: FoundStrings['pixel'];
  for (const step of given.value.steps) {
    const at = originOf(given.origin, step.span);
    // A number or name that is not there has been reported by the parser.
    if (step.kind === 'member' ? step.name === '' : Number.isNaN(step.number)) return undefined;
    if (pixel !== undefined) return nothingFollows(build, at, given);
    if (step.kind === 'pixel') {
      pixel = step.number;
    } else if (step.kind === 'copy') {
      chosen = chosen.filter(
        (piece) => (piece.copies === undefined ? piece.strand : piece.copies.number) === step.number,
      );
    } else if (step.name === 'end' || step.name === 'start') {
      pixel = step.name;
    } else {
      chosen = chosen.filter((piece) => piece.copies?.name === step.name || piece.element === step.name);
      noteStep(build, chosen[0], step.name, at);
    }
    if (chosen.length === 0) return unknownStep(build, run, at, step.kind === 'member' ? step.name : undefined);
  }
  return chosen.length === 0 ? unknownStep(build, run, nameOrigin(given), undefined) : { run, chosen, pixel };
}

/** A name inside a prop is declared in the prop, not where its copies hang. */
function noteStep(build: JointContext, piece: StringPiece | undefined, name: string, at: Origin): void {
  const target = piece?.copies?.name === name ? piece.origin : piece?.line.origin;
  if (target !== undefined) build.uses.push({ origin: originOf(at, { start: at.start + 1, end: at.end }), target });
}

export function jointIn(
  build: Pick<JointContext, 'report'>,
  run: Run,
  chosen: readonly StringPiece[],
  pixel: number | 'start' | 'end',
  given: Given<Reference>,
): Tap | undefined {
  const base = { run, text: given.text, origin: given.origin };
  const [first, last] = [sure(chosen[0]), sure(chosen.at(-1))];
  if (pixel === 'start') return { piece: first, pixel: 0, ...base };
  if (pixel === 'end') return { piece: last, pixel: last.count, ...base };
  let left = pixel;
  for (const piece of Number.isInteger(pixel) ? chosen : []) {
    if (left >= 1 && left <= piece.count) return { piece, pixel: left, ...base };
    left -= piece.count;
  }
  const most = chosen.reduce((sum, piece) => sum + piece.count, 0);
  build.report({
    code: 'unknown-name',
    origin: given.origin,
    restsOn: [run.whole],
    message: `There is no pixel ${Number.isFinite(pixel) ? pixel : 'of that number'} here: they count from 1 to ${most}.`,
    related: [{ origin: run.origin, message: `${run.name} stands here.` }],
  });
  return undefined;
}

function nothingFollows(build: JointContext, at: Origin, given: Given<Reference>): undefined {
  const whole = given.text.slice(0, at.start - given.origin.start);
  build.report({
    code: 'unknown-name',
    origin: at,
    message: `${whole} is one joint already; nothing follows it. Take this out.`,
    fixes: [{ title: `Write ${whole}`, edits: [{ origin: given.origin, text: whole }], preferred: true }],
  });
  return undefined;
}

function unknownStep(build: JointContext, run: Run, origin: Origin, name: string | undefined): undefined {
  const known = new Set<string>(['start', 'end']);
  for (const piece of run.pieces) {
    if (piece.kind !== 'string') continue;
    if (piece.copies !== undefined) known.add(piece.copies.name);
    if (piece.element !== undefined) known.add(piece.element);
  }
  const near = name === undefined ? undefined : closest(name, known);
  build.report({
    code: 'unknown-name',
    origin,
    // It may be on a line of the run that cannot be read, unless it is one letter off something.
    ...(near === undefined ? { restsOn: [run.whole] } : {}),
    message: `${run.name} has nothing of that name or number.${near === undefined ? ` It has: ${[...known].slice(0, 8).join(', ')}.` : ` Did you mean "${near}"?`}`,
    fixes:
      near === undefined
        ? []
        : [
            {
              title: `Write ${near}`,
              edits: [{ origin: originOf(origin, { start: origin.start + 1, end: origin.end }), text: near }],
              preferred: true,
            },
          ],
  });
  return undefined;
}

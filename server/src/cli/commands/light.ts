import { sure } from '#grammar/sure.ts';
import { levelOf } from '../../analysis/analysis.ts';
import type { Plan } from '../../model/plan.ts';
import { amps, count, share } from '../../model/texts.ts';
import { cautions } from '../cautions.ts';
import { type Command, type CommandArguments, choiceOf, UsageError } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { E131_PORT, MOST_PRIORITY, STANDARD_PRIORITY } from '../light/data-packet.ts';
import { greatestLevel, litAmps } from '../light/lit-amps.ts';
import { type LitPixel, litPixels } from '../light/lit-pixels.ts';
import { darkUniverses, type LitColour, lightUp } from '../light/lit-slots.ts';
import { receiverOf } from '../light/receiver.ts';
import { MOST_RATE, type Transmission } from '../light/transmission.ts';
import type { Universes } from '../light/universes.ts';
import { openPlan } from '../open-plans.ts';
import { type Line, renderPage, wrap } from '../page.ts';
import { printable } from '../printable.ts';

/** What most wiring bears and a dark yard shows well. */
const STANDARD_LEVEL = 0.2;
const STANDARD_RATE = 20;
const STANDARD_SECONDS = 60;
const STANDARD_STEP = 0.5;
/** s: a day. */
const LONGEST = 86_400;

export const light: Command = {
  name: 'light',
  summary: 'Lights a run, a prop or a pixel of the display that hangs, over the network',
  help: `
festoon light [OPTIONS] FILE WHAT --to ADDRESS

Tests what hangs: lights a run, a part of it or one pixel, by the addresses that the plan computes, as ANSI E1.31 to the
controller whose address you give. Nothing is sent anywhere else. WHAT is written as in the plan: eaves, eaves.gable,
eaves[116], yard.flakes(3), or the name of a prop for all places where it hangs. Everything else in the same universes
goes dark.

Power goes on first, with the checks before power done. If other pixels light than those that you named, an address or
the order of the props is wrong; if another colour, the order of colours that is set in the controller.

  --to ADDRESS       IPv4 address of the controller, perhaps with a port: 192.0.2.10 or 192.0.2.10:${E131_PORT}. A multicast
                     address only if it is that of the only universe that is sent: 239.255.0.1 for universe 1
  --colour COLOUR    white (the default), red, green or blue
  --level SHARE      Brightness, "20 %" by default, and never more than the plan is designed for
  --count            Lights one pixel after the other and says which, to see where the numbers go wrong
  --step SECONDS     How long each of them is lit, ${STANDARD_STEP} by default
  --for SECONDS      When it ends by itself, ${STANDARD_SECONDS} by default; Ctrl-C ends it sooner. Then it is dark again
  --rate NUMBER      Packets a second for each universe, ${STANDARD_RATE} by default, ${MOST_RATE} at most (DMX512-A with 512 slots)
  --priority NUMBER  ${STANDARD_PRIORITY} by default, up to ${MOST_PRIORITY}: the show software sends ${STANDARD_PRIORITY} as a rule
  --root DIR         The folder that "use" lines may not leave

Example: festoon light boathouse/plan.festoon eaves --to 192.0.2.10 --colour red --for 10

Exit codes: 0 sent; 2 the command line, the file or the address cannot be used; 3 an error in Festoon itself.
`,
  options: {
    to: { type: 'string' },
    colour: { type: 'string' },
    level: { type: 'string' },
    count: { type: 'boolean' },
    step: { type: 'string' },
    for: { type: 'string' },
    rate: { type: 'string' },
    priority: { type: 'string' },
    root: { type: 'string' },
  },
  run: runLight,
};

function runLight(args: CommandArguments, io: Io): Exit {
  const [file, what, ...more] = args.names;
  if (file === undefined || what === undefined || more.length > 0)
    throw new UsageError('name a plan and what to light in it: festoon light plan.festoon eaves --to 192.0.2.10');
  const to = args.values['to'];
  if (typeof to !== 'string') throw new UsageError('say where to send it, for nothing is sent unasked: --to ADDRESS');
  const options = optionsOf(args);
  const opened = openPlan(args, io, file);
  if (opened === undefined) return EXIT.usage;
  const { plan, findings } = opened.analysis;
  const pixels = litPixels(plan, what);
  const dark = darkUniverses(plan, pixels);
  if (dark.size === 0)
    throw new UsageError(
      `${what} has no pixels with an address: floods have no data, and dark pixels none of their own`,
    );
  const level = levelIn(args, greatestLevel(plan, pixels, options.colour));
  const frame = frameOf(plan, dark, pixels, options, level);
  const transmission = { ...receiverOf(to, [...dark.keys()]), ...options, sourceName: 'Festoon', dark, frame };
  const errors = findings.filter((finding) => levelOf(finding) === 'error').length;
  const lines = [
    `${what}, ${count(pixels.length, 'pixel')}${options.counts ? ', one after the other' : ''}, ${options.colour} at ${share(level)}.`,
    `${universesText([...dark.keys()])} to ${transmission.address}:${transmission.port}, ${options.rate} packets a second each. Everything else in there goes dark.`,
    drawText(pixels, options, level),
    `It ends after ${options.seconds} s, or with Ctrl-C.`,
    ...(errors === 0 ? [] : [`The plan has ${count(errors, 'error')}: put them right before you light much of it.`]),
  ];
  const width = io.columns ?? 100;
  const told = lines.flatMap((text) => wrap(printable(text), width)).map((line): Line => [line]);
  io.out(renderPage([...told, ...cautions(width)], io.colour));
  io.transmit(transmission);
  return EXIT.clean;
}

interface Options {
  readonly colour: LitColour;
  readonly counts: boolean;
  readonly step: number;
  readonly rate: number;
  readonly seconds: number;
  readonly priority: number;
}

function optionsOf(args: CommandArguments): Options {
  return {
    colour: choiceOf(args, 'colour', ['white', 'red', 'green', 'blue'], 'white'),
    counts: args.values['count'] === true,
    step: numberOf(args, 'step', STANDARD_STEP, 0.1, 60),
    rate: numberOf(args, 'rate', STANDARD_RATE, 1, MOST_RATE),
    seconds: numberOf(args, 'for', STANDARD_SECONDS, 0.1, LONGEST),
    priority: Math.round(numberOf(args, 'priority', STANDARD_PRIORITY, 0, MOST_PRIORITY)),
  };
}

function drawText(pixels: readonly LitPixel[], { counts, colour }: Options, level: number): string {
  if (!counts)
    return `${pixels.length === 1 ? 'It draws' : 'They draw'} about ${amps(litAmps(pixels, colour, level))}.`;
  return `One draws up to ${amps(pixels.reduce((most, one) => Math.max(most, litAmps([one], colour, level)), 0))}.`;
}

function universesText(universes: readonly number[]): string {
  const [first] = universes;
  return universes.length === 1
    ? `Universe ${first}`
    : `Universes ${universes.slice(0, 8).join(', ')}${universes.length > 8 ? ` and ${universes.length - 8} more` : ''}`;
}

/** All pixels at once; or one for each step, from the first again behind the last. */
function frameOf(
  plan: Plan,
  dark: Universes,
  pixels: readonly LitPixel[],
  { counts, step, colour }: Options,
  level: number,
): Transmission['frame'] {
  const octet = Math.max(1, Math.floor(level * 255 + 1e-9));
  if (!counts) {
    const universes = lightUp(plan, dark, pixels, colour, octet);
    return () => ({ universes, says: undefined });
  }
  return (seconds) => {
    const one = sure(pixels[Math.floor(seconds / step) % pixels.length]);
    const says = `${printable(one.run.name)}[${one.pixel}]`;
    return { universes: lightUp(plan, dark, [one], colour, octet), says };
  };
}

/** As asked for, or the usual one where the plan allows so much. */
function levelIn(args: CommandArguments, most: number): number {
  const given = args.values['level'];
  if (typeof given !== 'string') return Math.min(STANDARD_LEVEL, most);
  const level = Number(given.replace('%', '').trim() || Number.NaN) / 100;
  if (!(level >= 0.01 && level <= 1)) throw new UsageError('--level is a share from 1 % to 100 %: --level "20 %"');
  if (level > most + 1e-9)
    throw new UsageError(
      `at ${share(level)} a pixel draws more than this plan is designed for, and fuses may blow: at most ${Math.floor(most * 100 + 1e-9)} %`,
    );
  return level;
}

function numberOf(args: CommandArguments, option: string, standard: number, least: number, most: number): number {
  const given = args.values[option];
  if (given === undefined) return standard;
  const value = typeof given === 'string' && given.trim() !== '' ? Number(given) : Number.NaN;
  if (!(value >= least && value <= most)) throw new UsageError(`--${option} is a number from ${least} to ${most}`);
  return value;
}

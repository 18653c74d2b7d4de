import { type Account, pixelsOf, type RunAccount, readIslands } from '../model/account.ts';
import { type Conditions, cornersOf, nominal } from '../model/corners.ts';
import type { Design, Plan, Run } from '../model/plan.ts';
import type { SolutionCache } from '../model/solution-cache.ts';
import { circuitOf } from '../model/to-circuit.ts';

/** Volts along a run under one look and one corner. */
export interface Profile {
  /** "full-white at 100 %", or the corner's name. */
  readonly name: string;
  readonly isDesign: boolean;
  /** V at each pixel; index 0 is pixel 1. */
  readonly volts: Float64Array;
}

const LOOKS = ['full-white', 'red', 'green', 'blue'] as const;

/** The look that the display is designed for first, then single colours, then every corner that the plan allows for. */
export function profilesOf(plan: Plan, account: Account, run: Run, cache: SolutionCache): Profile[] {
  const design = account.runs.get(run);
  const solve = cache.series();
  if (design === undefined) return [];
  const { look, brightness } = plan.design;
  const share = `${Math.round(brightness.value * 100)} %`;
  const profiles: Profile[] = [{ name: `${look.value} at ${share}`, isDesign: true, volts: pixelsOf(design).volts }];
  for (const other of LOOKS) {
    if (other === look.value) continue;
    const lit: Design = { ...plan.design, look: { value: other, origin: undefined, source: 'drawn' } };
    const volts = voltsAt(design, lit, nominal(lit), solve);
    if (volts !== undefined) profiles.push({ name: `${other} at ${share}`, isDesign: false, volts });
  }
  for (const corner of cornersOf(plan.design)) {
    const volts = voltsAt(design, plan.design, corner, solve);
    if (volts !== undefined) profiles.push({ name: corner.name, isDesign: false, volts });
  }
  return profiles;
}

function voltsAt(
  run: RunAccount,
  design: Design,
  conditions: Conditions,
  solve: ReturnType<SolutionCache['series']>,
): Float64Array | undefined {
  const { island } = run.solved;
  const circuit = circuitOf(island, design, conditions);
  const found = readIslands([{ island, circuit, outcome: solve(circuit) }]).runs.get(run.run);
  return found === undefined ? undefined : pixelsOf(found).volts;
}

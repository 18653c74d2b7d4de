import type { Derating } from './mains.ts';
import type { Design, Supply } from './plan.ts';
import type { Setting } from './setting.ts';

/** What is left of a supply's rating in its warm box. */
export interface Derated {
  /** A that it can give there. */
  readonly amps: number;
  /** Share of its label rating. */
  readonly share: number;
  /** Warmest air of the plan and the rise of the box above it. */
  readonly celsius: number;
  readonly rise: Setting<number>;
}

/** The rating of a supply at the warmest air of the plan, in its box; whole where its part states no derating. */
export function deratedOf(design: Design, supply: Supply): Derated | undefined {
  const { rated, derating } = supply.part ?? {};
  if (rated === undefined) return undefined;
  const rise = supply.boxRise ?? design.boxRise;
  const celsius = design.air.value.to + rise.value;
  const share = derating === undefined ? 1 : shareLeft(derating, celsius);
  return { amps: rated * share, share, celsius, rise };
}

/** Share of what the supply can still give that a load takes; none where nothing is left to take it from. */
export function shareTaken(load: number, derated: Derated | undefined): number | undefined {
  return derated === undefined || derated.amps === 0 ? undefined : load / derated.amps;
}

/** The line goes on beyond its second point: hotter air never gives more, and nothing is less than nothing. */
export function shareLeft({ above, share, hot }: Derating, celsius: number): number {
  if (celsius <= above) return 1;
  return Math.max(0, 1 - ((1 - share) * (celsius - above)) / (hot - above));
}

/** "80 % of its 29 A at 60 °C (air 45 °C, box 15 K warmer)" for a supply that gives less than its label says. */
export function deratedText({ share, celsius, rise }: Derated, air: number): string {
  const number = (value: number) => String(Number(value.toFixed(1)));
  const source = rise.origin === undefined ? `, ${rise.source}` : '';
  return `${number(share * 100)} % of its label at ${number(celsius)} °C: air ${number(air)} °C, box ${number(rise.value)} K warmer${source}`;
}

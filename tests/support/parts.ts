/**
 * A 12 V pixel that holds 18.5 mA in each colour: 55.5 mA at full white. The red diodes starve at less than the others.
 * `more` are further lines of the part.
 */
export function bulletPart(...more: readonly string[]): string {
  return `part pixel bullet {
  voltage 12 V
  least 10.8 V
  red 18.5 mA  knee 7.2 V  dark 6 V
  green 18.5 mA  knee 10.4 V  dark 9.6 V
  blue 18.5 mA  knee 10.4 V  dark 9.6 V
  wire 18 AWG
${more.map((line) => `  ${line}\n`).join('')}}
`;
}

/** The least that a run with a supply of its own needs. */
export const FEW_PARTS = `part pixel bullet {
  voltage 12 V
  red 18.5 mA knee 7.2 V dark 6 V
  wire 18 AWG
}
part cable lead {
  conductor 18 AWG
  carries V+ ground data
}
part supply big {
  voltage 12 V
  rated 29 A
}
`;

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

/** On the bench: a run with a null pixel at its end, which asks for more than anything gets and never lights. */
export const NULL_AT_END = `use "bench.festoon"
part pixel keen {
  voltage  12 V
  least    13 V
  red      60 mA  knee 6 V  dark 5 V
  idle     1 mA
  wire     18 AWG
}
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of board  from psu.1
run row  from box.1 {
  lead 1 m  of lead-18
  string 10 px  of steady-12  every 50 mm
  null 1 px  of keen
}
`;

import { bulletPart } from './parts.ts';

/** One long run of outlines of a hundred pixels, all joints in reach, and supplies each farther off than the last. */
export interface LongRun {
  readonly strings: number;
  /** Of full white, %. */
  readonly brightness: number;
  /** Of each supply, A. */
  readonly rated: number;
  readonly supplies: number;
}

export function longRunPlan({ strings, brightness, rated, supplies }: LongRun): string {
  const numbers = Array.from({ length: supplies }, (_, index) => index + 1);
  return `plan "long" {
  design-for full-white at ${brightness} %
}
${bulletPart('idle 1 mA', 'rated 5 A')}part cable lead {
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
  rated ${rated} A
}
part controller board {
  ports 4
}
place roof
${numbers.map((number) => `place box-${number}\nroute box-${number} to roof  ${2 * number} m\n`).join('')}
${numbers.map((number) => `supply psu-${number}  of psu-part  at box-${number} {\n  output 1  fuse 5 A\n}\n`).join('')}
controller box  of board  from psu-1.1
run long  from box.1  at roof {
  lead 2 m  of lead
${Array.from({ length: strings }, (_, index) => `  outline s${index + 1}  100 px  of bullet  every 50 mm\n`).join('')}}
`;
}

import fc from 'fast-check';
import { HostBench } from '#server/analysis/host-bench.ts';
import { bulletPart } from './parts.ts';
import { analysePlan, MAIN } from './plans.ts';

/** Small displays with several runs, for tests of what is planned for all of them. */
export interface DrawnDisplay {
  readonly counts: readonly number[];
  readonly routeM: number;
  readonly room: number | undefined;
  readonly supplyAmps: number;
  readonly powered: boolean;
  readonly halves: boolean;
  readonly farther: boolean;
  readonly thin: boolean;
}

type Draws = { readonly [K in keyof DrawnDisplay]: fc.Arbitrary<DrawnDisplay[K]> };

export function drawnDisplay(fixed: Partial<Draws> = {}): fc.Arbitrary<DrawnDisplay> {
  return fc.record<DrawnDisplay>({
    counts: fc.array(fc.integer({ min: 15, max: 70 }), { minLength: 2, maxLength: 2 }),
    routeM: fc.integer({ min: 2, max: 14 }),
    room: fc.option(fc.integer({ min: 1, max: 6 }), { nil: undefined, freq: 5 }),
    supplyAmps: fc.constantFrom(6, 15, 40),
    powered: fc.boolean(),
    halves: fc.boolean(),
    farther: fc.boolean(),
    thin: fc.boolean(),
    ...fixed,
  });
}

export function displayText(drawn: DrawnDisplay): string {
  const { counts, routeM, room, supplyAmps, powered, halves, farther, thin } = drawn;
  const runs = counts.map((count, index) => {
    const place = farther && index === counts.length - 1 ? 'gable' : 'roof';
    const string = (name: string, pixels: number) => `  string  ${name}  ${pixels} px  of bullet  every 80 mm\n`;
    const strings = halves ? string('one', count) + string('two', Math.ceil(count / 2)) : string('one', count);
    return `run r${index + 1}  from box.${index + 1}  at ${place} {\n  lead    2 m  of lead\n${strings}}\n\n`;
  });
  const limit = room === undefined ? '' : `  limit ${room} cables`;
  return `${bulletPart('rated 5 A')}
part cable lead {
  conductor 18 AWG
  carries   ${powered ? 'V+ ground data' : 'data'}
}
${thin ? 'part cable two-core-16 {\n  conductor 16 AWG\n  carries   V+ ground\n  rated     10 A\n}\n' : ''}part cable two-core-12 {
  conductor 12 AWG
  carries   V+ ground
  rated     20 A
}
part supply psu-part {
  voltage 12 V
  rated   ${supplyAmps} A
}
part controller board {
  ports     4
  port-fuse 5 A
}

place shed
place roof
place gable
route shed to roof  ${routeM} m${limit}
route roof to gable  3 m

supply psu  of psu-part  at shed {
  set     12.4 V
  output  1  fuse 15 A
}

controller box  of board  at shed  from psu.1

${runs.join('')}`;
}

export function benchOfText(text: string): HostBench {
  const { analysis, host } = analysePlan(text);
  host.setFile(MAIN, text);
  return new HostBench(host, host.analyse(analysis.uri));
}

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Analysis, levelOf } from '#server/analysis/analysis.ts';
import { expectationsOf } from '#server/analysis/expectations.ts';
import { type FileText, Host, offsetsOf } from '#server/analysis/host.ts';
import { addressText } from '#server/model/address-text.ts';
import { addressesOf } from '#server/model/addresses.ts';

/**
 * After any edit the analysis must be what it would be had the text been read for the first time: whatever is taken over
 * from before is taken over rightly. The plans are the samples, edited at random; the edits are such as people make.
 */
const SAMPLES = [
  'boathouse/plan.festoon',
  'boathouse/flawed/plan.festoon',
  'roof-outline/plan.festoon',
  'tall-tree/plan.festoon',
  'side-box/plan.festoon',
  'sign/plan.festoon',
  'floods/plan.festoon',
];
const EDITS = 60;
const ROOT = 'file:///samples/';

/** Lines that look at the plan as a whole; some of their names are in one of the plans only. */
const CLAIMS = `
expect eaves at least 11 V
expect supply psu-a at most 20 A
expect eaves[20] at least 11 V  under red at 50 %
expect route shed to roof at most 4 cables
accept low-voltage  everywhere  because "for this test"
accept route-crowded  along shed to roof  because "for this test"
`;

const read = (uri: string): FileText => {
  try {
    return { text: readFileSync(join('samples', decodeURIComponent(uri.slice(ROOT.length))), 'utf8') };
  } catch {
    return { missing: true };
  }
};

/** All that a person can see of an analysis, offsets counted in the file. */
function seen(analysis: Analysis): unknown {
  const file = (uri: string) => analysis.files.find((other) => other.uri === uri);
  const findings = analysis.findings.map((finding) => {
    const source = file(finding.origin.uri);
    const at = source === undefined ? undefined : offsetsOf(source, finding.origin);
    return { code: finding.code, level: levelOf(finding), message: finding.message, uri: finding.origin.uri, at };
  });
  const runs = [...analysis.account.runs.values()].map(({ run, amps, least, portAmps }) => ({
    name: run.name,
    amps,
    least,
    portAmps,
  }));
  const feeds = [...analysis.account.feeds.values()].map(({ feed, amps, drop }) => ({ name: feed.name, amps, drop }));
  return {
    findings: findings.map((finding) => JSON.stringify(finding)).sort(),
    runs: runs.sort((a, b) => (a.name < b.name ? -1 : 1)),
    feeds: feeds.sort((a, b) => (a.name < b.name ? -1 : 1)),
    order: [[...analysis.plan.runs.keys()], [...analysis.plan.feeds.keys()], [...analysis.plan.supplies.keys()]],
    addresses: [...addressesOf(analysis.plan).values()].map((address) => [address.run.name, addressText(address)]),
    uses: analysis.plan.uses().length,
    accepted: analysis.accepted.map(({ finding, by }) => `${finding.code} ${by.reason}`).sort(),
    expected: expectationsOf(analysis).map(({ text, computed, passed }) => `${text} ${computed} ${passed}`),
  };
}

const edit = fc.record({ at: fc.double({ min: 0, max: 1, noNaN: true }), kind: fc.nat(5), undo: fc.boolean() });

function apply(text: string, { at, kind }: { at: number; kind: number }): string {
  const offset = Math.floor(at * text.length);
  const start = text.lastIndexOf('\n', offset) + 1;
  const end = (text.indexOf('\n', offset) + 1 || text.length + 1) - 1;
  switch (kind) {
    case 0:
      return text.slice(0, start) + text.slice(end + 1);
    case 1:
      return text.slice(0, offset) + text.slice(offset + 1);
    case 2:
      return `${text.slice(0, offset)}7${text.slice(offset)}`;
    case 3:
      return `${text.slice(0, start)}# a remark\n${text.slice(start)}`;
    case 4:
      return `${text.slice(0, end)}\n${text.slice(start, end)}${text.slice(end)}`;
    default:
      return `${text.slice(0, offset)} {\n${text.slice(offset)}`;
  }
}

test.each(SAMPLES)('%s edited at random is analysed as if read anew', (sample) => {
  const uri = ROOT + sample;
  const original = readFileSync(join('samples', sample), 'utf8') + CLAIMS;
  let compared = 0;
  fc.assert(
    fc.property(fc.array(edit, { minLength: EDITS, maxLength: EDITS }), (edits) => {
      const warm = new Host(read, ROOT);
      warm.setFile(uri, original);
      warm.analyse(uri);
      let text = original;
      for (const change of edits) {
        const before = text;
        text = apply(text, change);
        for (const version of change.undo ? [text, before] : [text]) {
          const cold = new Host(read, ROOT);
          warm.setFile(uri, version);
          cold.setFile(uri, version);
          expect(seen(warm.analyse(uri))).toEqual(seen(cold.analyse(uri)));
          compared++;
          text = version;
        }
      }
    }),
    { numRuns: 2 },
  );
  expect(compared).toBeGreaterThanOrEqual(2 * EDITS);
});

test('two files that change places are read as in their new order', () => {
  const plan = (first: string, second: string) => `use "${first}.festoon"
use "${second}.festoon"
part pixel plain {
  voltage 12 V
  red     20 mA  knee 6 V  dark 5 V
  wire    18 AWG
}
part controller plain-board {
  ports 4
}
controller box  of plain-board
run a  from box.1 {
  string 100 px  of plain  every 10 mm
}
`;
  const texts = new Map([
    [
      'file:///plan/x.festoon',
      'measured 9 V  at a[1]\nrun d  from box.2 {\n  string 300 px  of plain  every 10 mm\n}\n',
    ],
    [
      'file:///plan/y.festoon',
      'measured 8 V  at a[100]\nrun d  from box.2 {\n  string 10 px  of plain  every 10 mm\n}\n',
    ],
  ]);
  const from = (main: string) => (uri: string) => {
    const text = uri === 'file:///plan/main.festoon' ? main : texts.get(uri);
    return text === undefined ? ({ missing: true } as const) : { text };
  };
  const [before, after] = [plan('x', 'y'), plan('y', 'x')];
  const host = new Host(from(before));
  seen(host.analyse('file:///plan/main.festoon'));
  host.setFile('file:///plan/main.festoon', after);
  const moved = host.analyse('file:///plan/main.festoon');
  expect(moved.plan.runs.get('d')?.pixelCount).toBe(10);
  expect(seen(moved)).toEqual(seen(new Host(from(after)).analyse('file:///plan/main.festoon')));
});

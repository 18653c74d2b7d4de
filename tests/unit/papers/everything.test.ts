import { describe, expect, it } from 'vitest';
import { cablesOf } from '#server/papers/cable-list.ts';
import { labelSheet } from '#server/papers/labels.ts';
import { needsOf } from '#server/papers/needs.ts';
import type { Cell, Paper } from '#server/papers/paper.ts';
import { papersOf } from '#server/papers/papers.ts';
import { analysePlan } from '../../support/plans.ts';
import { festoon, SMALL } from '../cli/console.ts';

/** Papers of a plan with everything that few plans have: panels, floods, a receiver, fused boards, an extension, a mast. */
const text = (cell: Cell) => (cell === undefined ? '' : typeof cell === 'string' ? cell : cell.text);

const RICH = `${SMALL.replace(
  'frame-rate 40 fps',
  'frame-rate 40 fps\n  season 30 nights  of 4 h  at 50 %  price 0.30 per-kWh',
)
  .replace('rated   5 A', 'rated   5 A\n  efficiency 80 %\n  derate above 30 degC  to 50 %  at 50 degC')
  .replace('circuit garden  15 A  120 V', 'circuit garden  15 A  120 V  extension 10 m cord outdoor')}
part cable outdoor {
  conductor 14 AWG
  carries   line neutral earth
}
part cable network {
  conductor 24 AWG
  carries   data
}
part panel p5 "64 x 32 panel" {
  voltage 12 V
  size    32 rows x 64 columns
  draws   1 A  knee 5 V  dark 4 V
  scan    16
  data    8 bits at 20 MHz
  cord    0.4 m of 18 AWG
}
part flood spot {
  voltage 12 V
  draws   0.5 A
}
part receiver far {
  ports 2
}
supply big  of small  at porch {
  output 1
}
board left  at porch  from big.1  0.5 m  of pair {
  outputs 1 to 3  fuse 4 A
}
receiver north  of far  at porch  from left.1 {
  link from box.3  20 m  of network
}
run sign  from north.1 {
  panels front  1 rows x 3 columns  of p5
}
flood wash  2  of spot  at porch
feed wash-feed  from left.2 {
  cable 2 m  of pair
  tap wash(1)
}
mast pole  at porch {
  height 4 m
  wind 20 m/s
  sail 0.5 m2  drag 1  centre 4 m
  guys 3  at 4 m  radius 3 m
}
`;

const papers = papersOf(analysePlan(RICH).analysis);
function paper(id: string): Paper {
  const found = papers.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no paper ${id}`);
  return found;
}
const table = (id: string, name: string) => {
  const found = paper(id).tables.find((each) => each.id === name);
  if (found === undefined) throw new Error(`no table ${name}: ${paper(id).tables.map((each) => each.id)}`);
  return found.rows.map((row) => row.map(text));
};

it('this plan can be read', () => {
  const { findings } = analysePlan(RICH).analysis;
  const unread = [
    'unknown-word',
    'unexpected-word',
    'missing-phrase',
    'unknown-name',
    'wrong-dimension',
    'missing-unit',
  ];
  expect(findings.filter(({ code }) => unread.includes(code)).map(({ message }) => message)).toEqual([]);
});

describe('the parts list', () => {
  it('calls a controller, a receiver and a fused board what they are', () => {
    const { plan } = analysePlan(RICH).analysis;
    expect(needsOf(plan).map(({ kind, name, amount }) => [kind, name, amount])).toEqual([
      ['pixels', 'bullet', 10],
      ['panel', 'p5', 3],
      ['flood', 'spot', 2],
      ['cable', 'ribbon', expect.closeTo(0.6)],
      ['cable', 'network', 20],
      ['cable', 'pair', 12.5],
      ['cable', 'outdoor', 10],
      ['supply', 'small', 2],
      ['fused board', 'fused board, 3 outputs', 1],
      ['controller', 'board', 1],
      ['receiver', 'far', 1],
      ['fuse', '2 A fuse', 1],
      ['fuse', '4 A fuse', 3],
    ]);
  });
});

describe('the cut list', () => {
  it('has ribbons, links and extension leads with what is on their ends', () => {
    const ends = cablesOf(analysePlan(RICH).analysis.plan).map(({ kind, from, to, metres }) => [
      kind,
      from.text,
      from.finish,
      to.text,
      metres,
    ]);
    expect(ends).toEqual([
      ['ribbon', 'sign.front(1)', 'ribbon plug', 'sign.front(2)', 0.3],
      ['ribbon', 'sign.front(2)', 'ribbon plug', 'sign.front(3)', 0.3],
      ['link', 'box.3', 'network plug', 'north link', 20],
      ['board', 'big.1', 'ferrule', 'left in', 0.5],
      ['feed', 'psu.1', 'ferrule', 'porch-edge', 10],
      ['feed', 'left.2', 'ferrule', 'wash(1)', 2],
      ['extension', 'garden socket', 'mains plug', 'supplies on garden', 10],
    ]);
  });

  it('puts a ribbon plug on a lead to a panel, whose connector is for its power', () => {
    const plan = RICH.replace('panels front', 'lead 0.3 m  of network\n  panels front');
    const lead = cablesOf(analysePlan(plan).analysis.plan).find(({ kind }) => kind === 'lead');
    expect([lead?.from.finish, lead?.to.finish]).toEqual(['ribbon plug', 'ribbon plug']);
  });

  it('says which cords come with panels and floods', () => {
    expect(table('cuts', 'cords')).toEqual([
      ['64 x 32 panel', '3', '400 mm', '18 AWG', ''],
      ['spot', '2', '300 mm', '18 AWG', ''],
    ]);
  });

  it('has two labels for each of these cables', () => {
    const sheet = labelSheet({ title: 'x', foot: 'x' }, analysePlan(RICH).analysis.plan);
    expect(sheet.split('class="label"').length - 1).toBe(14);
  });
});

it('the box of a controller names the links that are plugged in', () => {
  expect(table('boxes', 'box-box').at(-1)).toEqual([
    '3 to 4',
    'link to north',
    '',
    'network',
    expect.stringMatching(/^\w{4}$/),
  ]);
});

describe('the first sheet', () => {
  it('counts panels and floods, and tells controllers from receivers', () => {
    expect(table('summary', 'summary').slice(0, 5)).toEqual([
      // 10 bullets and three panels of 2,048.
      ['pixels', '6,154 pixels'],
      ['panels', '3 of 64 x 32 panel'],
      ['floods', '2 of spot'],
      ['runs', '2 on 1 controller and 1 receiver'],
      ['supplies', expect.stringMatching(/^2, together /)],
    ]);
  });

  it('says what a supply can give in its warm box', () => {
    // Without an air line it is 20 degC; 15 K more in the box is 35 degC. From 30 to 50 degC the rating falls by half:
    // 5 K into it an eighth is gone, 4.375 A are left of 5 A. 0.6 A of that are 14 %.
    expect(table('summary', 'supplies')[0]?.slice(3, 6)).toEqual(['5 A', '4.38 A', '14 %']);
  });
});

it('the address table names the port of the controller, and that of the receiver that it comes out of', () => {
  // The first port of north is port 3 of box.
  expect(table('addresses', 'addresses-box').filter(([port]) => port !== '')).toEqual([
    ['1', '', 'porch-edge', '1', '1', '30', '1', '10'],
    ['3', 'north.1', 'sign', '1', '31', expect.any(String), '1', expect.any(String)],
  ]);
});

it('the energy of the season is that of the hand calculation', () => {
  // 30 nights of 4 h. The pixels at 50 %: 10 x 60 mA x 0.5 = 0.3 A at 12 V, 3.6 W, over 0.8 efficiency 4.5 W on garden:
  // 0.54 kWh, 0.16 to pay. The big supply, on no circuit, feeds floods and a board.
  const rows = table('season', 'season');
  expect(rows[0]).toEqual(['garden', '0.54 kWh', '0.16']);
  expect(rows[1]?.[0]).toBe('on no circuit');
  expect(paper('season').intro).toContain('30 nights of 4 h, white at 50 % on average');
});

it('the pull of the guys is that of the hand calculation', () => {
  // q = 0.5 x 1.25 kg/m3 x (20 m/s)2 = 250 Pa; on 0.5 m2 with drag 1: 125 N at 4 m, where the guys are. Their anchors are
  // 3 m away: a guy is 5 m long (3, 4, 5), pulls 125 N x 5/3, and its anchor up by 125 N x 4/3.
  expect(table('masts', 'mast-pole').map(([force, value]) => [force, value])).toEqual([
    ['wind on the mast', '125 N'],
    ['pull of a guy', '208 N'],
    ['its anchor, outward', '125 N'],
    ['its anchor, up', '167 N'],
    ['its anchor, together', '208 N'],
    ['the foot, down, weight aside', '167 N'],
    ['the foot, sideways', '0 N'],
  ]);
  expect(paper('masts').tables[0]?.note).toContain('3 guys of 5 m');
  expect(paper('masts').intro).toContain('approves nothing');
});

it('what fails is told in the same words on paper and on the terminal', () => {
  const { out } = festoon(['faults', 'plan.festoon'], { files: { '/plans/plan.festoon': RICH }, columns: 400 });
  const rows = table('faults', 'faults');
  expect(rows.length).toBeGreaterThan(3);
  for (const [thing = '', , dark = '', dim = ''] of rows) {
    expect(out).toContain(thing);
    for (const effect of [...dark.split('; '), ...dim.split('; ')]) expect(out).toContain(effect);
  }
});

describe('a review', () => {
  const diff = (after: string) =>
    festoon(['diff', 'a.festoon', 'b.festoon'], {
      files: { '/plans/a.festoon': RICH, '/plans/b.festoon': after },
      columns: 300,
    }).out;

  it('tells fuses, loads of fused boards, the season and addresses that move', () => {
    const out = diff(RICH.replace('10 px', '12 px').replace('outputs 1 to 3  fuse 4 A', 'outputs 1 to 3  fuse 3 A'));
    expect(out).toMatch(/psu\.1 {2}load +600 mA, 30 % of its fuse +→ +720 mA, 36 % of its fuse/);
    expect(out).toMatch(/left\.2 {2}fuse +4 A +→ +3 A/);
    // Six slots more in front of the sign.
    expect(out).toMatch(/sign {2}slots +universe 1 slot 31 to .* +→ +universe 1 slot 37 to /);
    expect(out).toMatch(/season +.* kWh, cost/);
    expect(out).toMatch(/garden {2}power +9\.0 W +→ +11 W/);
  });

  it('calls nothing worse that carries what it did before', () => {
    const after = RICH.replace('outputs 1 to 3  fuse 4 A', 'outputs 1 to 3  fuse 3 A');
    const { out } = festoon(['diff', '--format', 'json', 'a.festoon', 'b.festoon'], {
      files: { '/plans/a.festoon': RICH, '/plans/b.festoon': after },
    });
    const changes = JSON.parse(out).changes as { subject: string; what: string; verdict?: string; section: string }[];
    expect(changes.map(({ section, subject, what, verdict }) => [section, subject, what, verdict])).toEqual([
      ['outputs', 'left.1', 'fuse', undefined],
      ['outputs', 'left.1', 'load', undefined],
      ['outputs', 'left.2', 'fuse', undefined],
      ['outputs', 'left.2', 'load', undefined],
      ['parts', '3 A fuse', 'needed', undefined],
      ['parts', '4 A fuse', 'needed', undefined],
    ]);
  });

  it('draws the runs that change before and after, as a page', () => {
    const page = festoon(['diff', '--format', 'html', 'a.festoon', 'b.festoon'], {
      files: { '/plans/a.festoon': SMALL, '/plans/b.festoon': SMALL.replace('10 px', '12 px') },
    }).out;
    expect(page.match(/<svg/g)?.length).toBe(2);
    const same = festoon(['diff', '--format', 'html', 'a.festoon', 'b.festoon'], {
      files: { '/plans/a.festoon': SMALL, '/plans/b.festoon': SMALL.replace('15 A', '16 A') },
    }).out;
    expect(same).not.toContain('<svg');
  });
});

it('keeps the ribbon that panels come with apart from a part of the same name', () => {
  // Two runs of two panels on the 0.3 m that a ribbon has by default, and the plan's own ribbon of 2 m on a third.
  const runs = ['left', 'right', 'far'].map(
    (name, n) => `run ${name}  from scan.${n + 1} {
  panels  1 row x 2 columns  of p5${name === 'far' ? '  ribbon 2 m  through ribbon' : ''}
}`,
  );
  const plan = `${RICH}
part cable ribbon "flat cable from the drawer" {
  conductor 0.5 mm2
  carries   ground data
  price     3 EUR per-metre
}
part controller scan-board {
  ports 4
}
controller scan  of scan-board
${runs.join('\n')}
`;
  const { analysis } = analysePlan(plan);
  const cables = needsOf(analysis.plan).filter(({ name }) => name === 'ribbon');
  const own = cables.filter(({ price }) => price !== undefined);
  expect(own.map(({ label, amount }) => [label, amount])).toEqual([['flat cable from the drawer', 2]]);
  // The panels of the plan itself have two ribbons of 0.3 m.
  expect(cables.filter(({ price }) => price === undefined).map(({ label, amount }) => [label, amount])).toEqual([
    ['16-core ribbon', expect.closeTo(4 * 0.3)],
  ]);
  const titles = papersOf(analysis)
    .find(({ id }) => id === 'cuts')
    ?.tables.map(({ title }) => title);
  expect(titles).toEqual(expect.arrayContaining(['16-core ribbon (ribbon)', 'flat cable from the drawer (ribbon)']));
});

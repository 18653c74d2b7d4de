import { expect, test } from 'vitest';
import { looks } from '../../support/looks.ts';

test('of a plan without anything each check looks at nothing, and says why', () => {
  for (const [code, said] of Object.entries(looks('place shed\n')))
    expect(said, code).toMatch(/^0 [a-z]+(?: [a-z]+)?s; .+/);
});

const COUNTED = `
plan "Counted" {
  frame-rate 40 fps
}
use "bench.festoon"
part connector pigtail {
  rated    4 A
  contact  10 mohm
}
part pixel joined-12 {
  voltage  12 V
  red      60 mA  knee 6 V  dark 5 V
  wire     18 AWG
  rated    30 A
  ends     pigtail
}
place shed
place roof
place quay
route shed to roof  4 m  limit 5 cables  last-year 5 cables
route roof to quay  3 m
circuit garden  15 A  120 V
circuit kitchen  15 A  120 V
supply psu-a  of bench-12  at shed  on garden {
  set 12 V
  output 1  fuse 10 A
  output 2  fuse 10 A
}
supply psu-b  of bench-12  on garden {
  output 1  fuse 10 A
}
bond earth  from psu-a  to psu-b  1 m  of feed-14
controller box  of board  from psu-a.1
receiver north  of far-two  from psu-b.1 {
  link from box.3  20 m  of pairs
}
run eaves  from box.1 {
  lead 2 m  of lead-18
  string left  10 px  of steady-12  every 50 mm
  gap 1 m  of lead-18
  string right  10 px  of joined-12  every 50 mm
  gap 100 mm
  string end  5 px  of steady-12  every 50 mm
}
run row  from north.1 {
  string 5 px  of steady-12  every 50 mm
}
feed right-feed  from psu-a.2  to eaves.right  2 m  of feed-14  with pigtail
measured eaves.end  11.9 V
expect eaves at least 9 V
accept low-voltage  of eaves  because "counted"
`;

test('what is looked at is counted', () => {
  expect(looks(COUNTED)).toEqual({
    'wrong-voltage': '4 loads', // two runs, the board and the receiver
    'supplies-meet': '2 supplies',
    'no-ground': '2 runs',
    'no-data': '3 cables', // a lead, a gap with a cable, a link
    'no-power': '2 runs',
    'voltage-collapse': '2 runs',
    'low-voltage': '2 runs',
    'fuse-overloaded': '3 outputs',
    'port-overloaded': '2 ports', // box.1 and north.1
    'supply-overloaded': '2 supplies',
    'conductor-overloaded': '4 strings',
    'connector-overloaded': '2 connectors', // in front of eaves.right, and at the tap
    'cable-overloaded': '3 cables', // the lead, the gap with a cable, the feed
    'fuse-too-large': '5 fuses', // of three outputs and two ports
    'feed-unfused': '3 feeds', // the feed, the board, the receiver
    'circuit-overloaded': '1 circuit',
    'supply-setting': '1 supply',
    'port-taken': '3 taken ports', // by two runs and a link
    'port-pixels': '2 runs',
    'lead-too-long': '1 lead',
    'too-many-pixels': '2 runs',
    'route-crowded': '1 route',
    'route-grown': '1 route',
    // Each states its length, none the way that it goes.
    'cable-too-short': '0 cables; no cable states both a length and a way: others take theirs from the routes',
    'measured-differs': '1 reading',
    'expectation-failed': '1 expectation',
    'accept-unused': '1 accept line',
    unsolved: '1 circuit',
  });
});

const BARE = `
use "bench.festoon"
part supply plain-12 {
  voltage  12 V
  droop    1 mohm
}
place shed
place roof
route shed to roof  4 m
circuit kitchen  15 A  120 V
supply psu  of plain-12 {
  output 1
}
controller box  of data-board  from psu.1
run row  from box.1 {
  string 5 px  of steady-12  every 50 mm
}
`;

test('where things state no limit, that is the reason', () => {
  expect(looks(BARE)).toMatchObject({
    'wrong-voltage': '2 loads',
    'supplies-meet': '0 supplies; there are not two supplies',
    'no-data': '0 cables; the plan has no lead, no gap with a cable, and no link yet',
    'low-voltage': '1 run',
    'fuse-overloaded': '0 outputs; no output states a fuse, or none is solved',
    'port-overloaded': '0 ports; no controller part states a port-fuse',
    'supply-overloaded': '0 supplies; no supply with a rating is solved',
    'connector-overloaded': '0 connectors; no string or tap names a connector, or none is solved',
    'cable-overloaded': '0 cables; no lead, gap, feed or board has a cable of its own, or none is solved',
    'circuit-overloaded': '0 circuits; no supply is said to be on a circuit',
    'supply-setting': '0 supplies; no supply states what it is set to',
    'port-taken': '1 taken port',
    'port-pixels': '1 run; no frame rate is stated: 40 fps is taken',
    'route-crowded': '0 routes; no route states a limit',
    'route-grown': '0 routes; no route states its cables of last year',
    unsolved: '1 circuit',
  });
});

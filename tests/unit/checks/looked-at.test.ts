import { expect, test } from 'vitest';
import { looks } from '../../support/looks.ts';

/** What checks look at in plans with boards, with parts that have no solution, and with things that do not count. */
test('boards, their cables and their outputs', () => {
  expect(
    looks(`use "bench.festoon"
place shed
supply psu  of bench-12  at shed {
  set      13 V
  output 1  fuse 1 A
  output 2  fuse 15 A
  output 3
}
board left  from psu.2  0.5 m  of feed-14 {
  outputs 1 to 2  fuse 10 A
}
controller box  of data-board  from psu.1
run eaves  from box.1 {
  lead   1 m  of data-18
  string 100 px  of steady-12  every 5 mm
}
run row {
  string 10 px  of steady-12  every 5 mm
}
feed eaves-a  from left.1  to eaves.start  1 m  of feed-14
feed eaves-b  from left.2  to eaves.end    1 m  of feed-14
feed row-a    from psu.3   to row.start    1 m  of feed-14
`),
  ).toMatchObject({
    'wrong-voltage': '3 loads', // two runs, the controller
    'feed-unfused': '5 feeds', // three feeds, the board, the controller
    'fuse-overloaded': '4 outputs', // 1 and 2 of the supply and of the board; nothing is said of 3
    'fuse-too-large': '4 fuses', // the board's ports have none
    'port-overloaded': '0 ports; no controller part states a port-fuse',
    'cable-overloaded': '5 cables', // to the board, the lead, three feeds
    'supply-overloaded': '1 supply',
    'conductor-overloaded': '2 strings',
    'supply-setting': '1 supply',
    'supplies-meet': '0 supplies; there are not two supplies',
    'no-data': '1 cable',
    'port-taken': '2 taken ports',
    'lead-too-long': '1 lead',
  });
});

test('what has no solution is not looked at, and is counted', () => {
  const million = Array.from(
    { length: 21 },
    (_, i) => `run r${i + 1}  from box.${i + 1} {
  string 1000000 px  of faint  every 0.1 mm
}`,
  ).join('\n');
  const found = looks(`plan "Large" {
  frame-rate 1 fps
}
use "bench.festoon"
part pixel faint {
  voltage  12 V
  red      0.001 mA  knee 6 V  dark 5 V
  idle     0 mA
  wire     18 AWG
  data     1 bit at 10 MHz reset 1 us
}
part controller huge-board {
  ports      32
  port-fuse  5 A
}
supply large  of bench-12 {
  output 1  fuse 15 A
}
supply small  of bench-12 {
  output 1  fuse 15 A
}
controller box  of huge-board  from large.1
controller hut  of board  from small.1
${million}
run row  from hut.1 {
  string 5 px  of steady-12  every 50 mm
  string 5 px  of steady-12  every 50 mm
}
measured r1.end   11.9 V
measured row.end  11.9 V
`);
  expect(found).toMatchObject({
    'low-voltage': '1 run; no solution for 21 runs',
    'conductor-overloaded': '2 strings; no solution for 21 runs',
    'measured-differs': '1 reading; no solution for 1 reading',
    'fuse-overloaded': '1 output',
    'port-overloaded': '1 port',
    'supply-overloaded': '1 supply',
    'no-ground': '22 runs',
    'port-pixels': '22 runs',
    unsolved: '2 circuits',
  });
});

test('what there is nothing of is named', () => {
  expect(looks('place shed\n')).toMatchObject({
    'conductor-overloaded': '0 strings; the plan has no run yet',
    'low-voltage': '0 runs; the plan has no run yet',
    'port-pixels': '0 runs; the plan has no run yet',
    'port-taken': '0 taken ports; the plan has no run yet',
    'port-overloaded': '0 ports; the plan has no run yet',
    'supply-overloaded': '0 supplies; the plan has no supply yet',
    'circuit-overloaded': '0 circuits; the plan has no circuit yet',
    'route-crowded': '0 routes; the plan has no route yet',
    'route-grown': '0 routes; the plan has no route yet',
  });
  const some =
    'place shed\nplace roof\nroute shed to roof  4 m\ncircuit garden  15 A  120 V\nsupply psu {\n  output 1\n}\n';
  expect(looks(some)).toMatchObject({
    'supply-overloaded': '0 supplies; no supply with a rating is solved',
    'circuit-overloaded': '0 circuits; no supply is said to be on a circuit',
    'route-crowded': '0 routes; no route states a limit',
    'route-grown': '0 routes; no route states its cables of last year',
  });
});

test('a trunk is as many cables as it has pieces, and a board that nothing feeds is no load', () => {
  expect(
    looks(`use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box   of data-board  from psu.1
controller idle  of data-board
run left  from box.1 {
  lead 1 m  of data-18
  string 5 px  of steady-12  every 50 mm
}
run right  from box.2 {
  lead 1 m  of data-18
  string 5 px  of steady-12  every 50 mm
}
feed both  from psu.1 {
  cable 2 m  of feed-14
  tap left.end
  cable 2 m  of feed-14
  cable 1 m  of feed-14
  tap right.end
}
`),
  ).toMatchObject({
    'cable-overloaded': '5 cables', // two leads, three pieces of the feed
    'wrong-voltage': '3 loads', // two runs, the board that is fed
    'feed-unfused': '2 feeds', // the feed, the board
  });
});

/**
 * A small display on the bench of parts (tests/fixtures/bench.festoon), reckoned by hand:
 *
 *   every pixel draws 60 mA, so 100 pixels draw 6 A; the board draws 1 mA more
 *   supply droop       6.001 A x 1 mohm                       6.0 mV
 *   output fuse        6.001 A x 1 mohm                       6.0 mV
 *   port fuse          6 A x 1.97 mohm                       11.8 mV
 *   lead, both rails   6 A x 2 x 2 m x 21.367 mohm/m        512.8 mV
 *   string, both rails 60 mA x 2 x 2.1367 mohm x 5050      1294.8 mV   (5050 = 100 + 99 + ... + 1)
 *   least voltage      12 V - 1831.4 mV = 10.17 V at pixel 100; 0.63 V below the 10.8 V that steady-12 needs
 *   first pixel        12 V - 536.6 mV - 6 A x 2 x 2.1367 mohm = 11.44 V
 */
export const DISPLAY = `use "bench.festoon"

plan "Test quay" {
  frame-rate 25 fps
}

place shed "Tool shed"
place roof
route shed to roof  1 m  limit 2 cables

circuit garden  15 A  120 V  at shed

supply psu "left of the door"  of bench-12  at shed  on garden {
  set 12 V
  output 1  fuse 10 A  cold 1 mohm
  outputs 2 to 3  fuse 7.5 A
}

controller box  of board  at shed  from psu.1

## The long edge of the roof,
## then round the gable.
run eaves "Long edge"  from box.1  at roof {
  lead    2 m  of lead-18  along shed to roof
  outline gutter  60 px  of steady-12  every 100 mm
  outline gable  40 px  of steady-12  every 100 mm
}
`;

/**
 * The same run behind a board that passes no V+, fed at its first joint by 10 m of 14 AWG. By hand: each conductor of the
 * feed has 84.5 mohm. All 6 A come through its V+: 507 mV, 40 % of the cable's 15 A, 60 % of the 10 A fuse. They go back
 * through the feed's ground (with its splice 85.5 mohm) and the lead's (42.7 mohm) side by side: the feed takes
 * 42.7 / 128.2 of them, 2.00 A, 169 mV. Together 0.68 V, 5.6 % of 12 V.
 */
export const FED = DISPLAY.replace('of board ', 'of data-board ')
  .replace('of lead-18', 'of data-18')
  .concat('feed trunk  from psu.3  to eaves  10 m  of feed-14\n')
  .replace('outputs 2 to 3  fuse 7.5 A', 'output 3  fuse 10 A  cold 1 mohm');

/** Puts the cursor behind the first occurrence of some text. */
export function cursorBehind(text: string, word: string): string {
  return cursorAt(text, word, word.length);
}

/** Puts the cursor in front of the first occurrence of some text, or some characters into it. */
export function cursorAt(text: string, word: string, into = 0): string {
  const at = text.indexOf(word);
  if (at < 0) throw new Error(`"${word}" does not stand in the text`);
  return `${text.slice(0, at + into)}|${text.slice(at + into)}`;
}

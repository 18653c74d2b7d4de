import { entry, text, to } from './entry.ts';
import { LENGTH, PARALLEL, WAY } from './runs.ts';
import { OUTPUT, OUTPUTS } from './site.ts';

/** Fused distribution boards: fed by one cable, with a fuse for each of their outputs. */
export const BOARD = entry({
  word: 'board',
  name: 'required',
  help: 'A fused distribution board: one cable in, many fused outputs. Its outputs are used as those of a supply are.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where it stands.' },
    {
      key: 'from',
      word: 'from',
      value: to('output'),
      required: true,
      help: 'The output that it hangs on. An output without a fuse stands for the terminals of the supply.',
    },
    LENGTH,
    { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'The cable that feeds it.' },
    PARALLEL,
    WAY,
  ],
  block: [OUTPUT, OUTPUTS],
  repeats: ['output', 'outputs'],
  example: `board left "left fused board"  at shed  from psu-a.1  0.4 m  of flex-6 {
  output  1  fuse 5 A
  outputs 2 to 6  fuse 7.5 A
}`,
});

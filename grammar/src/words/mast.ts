import { entry, quantity, text, to } from './entry.ts';

/** A guyed mast: what the wind asks of its guys and anchors, in plain figures that approve nothing. */

const force = quantity(['force'], 1, 1e6);

export const MAST = entry({
  word: 'mast',
  name: 'required',
  help: 'A guyed mast and what the wind asks of it. Rough figures for a talk with someone who knows: they approve nothing. Masts need competent advice, proper anchoring and local codes.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where its foot stands.' },
  ],
  block: [
    entry({
      word: 'height',
      name: 'none',
      help: 'How high it is above its foot.',
      phrases: [{ key: 'height', value: quantity(['length'], 0.5, 60), required: true, help: 'Height of the top.' }],
      example: 'height 7 m',
    }),
    entry({
      word: 'sail',
      name: 'none',
      help: 'The area that the wind meets, mast and strands and topper together. A net of strands catches far more than its pole, and ice adds to it.',
      phrases: [
        { key: 'area', value: quantity(['area'], 0.01, 1000), required: true, help: 'Area seen by the wind.' },
        {
          key: 'drag',
          word: 'drag',
          value: { type: 'whole', least: 0.1, most: 3, fractions: true },
          help: 'Drag coefficient.',
          standard: { text: '1.2', source: 'a smooth cylinder below its critical speed, from memory (Hoerner)' },
        },
        {
          key: 'centre',
          word: 'centre',
          value: quantity(['length'], 0.1, 60),
          help: 'Height at which the wind acts as a whole.',
          standard: { text: 'half of the height', source: 'an even sail from foot to top' },
        },
      ],
      example: 'sail 2.4 m2  drag 1.2  centre 3.5 m',
    }),
    entry({
      word: 'wind',
      name: 'none',
      help: 'The strongest gust to stand, as your local code or weather service gives it for the place and the height.',
      phrases: [{ key: 'speed', value: quantity(['speed'], 1, 100), required: true, help: 'Speed of the gust.' }],
      example: 'wind 25 m/s',
    }),
    entry({
      word: 'guys',
      name: 'none',
      help: 'The guys of one level, spread evenly around the mast.',
      phrases: [
        { key: 'count', value: { type: 'whole', least: 3, most: 12 }, required: true, help: 'How many.' },
        {
          key: 'height',
          word: 'at',
          value: quantity(['length'], 0.1, 60),
          required: true,
          help: 'Height at which they hold the mast.',
        },
        {
          key: 'radius',
          word: 'radius',
          value: quantity(['length'], 0.1, 100),
          required: true,
          help: 'From the foot of the mast to each anchor.',
        },
        { key: 'rated', word: 'rated', value: force, help: 'Working load of one guy with its fittings.' },
      ],
      example: 'guys 4  at 5.5 m  radius 4 m  rated 2 kN',
    }),
    entry({
      word: 'anchor',
      name: 'none',
      help: 'What one anchor may be pulled with along its guy, as tested or promised for the ground that it is in.',
      phrases: [{ key: 'rated', word: 'rated', value: force, required: true, help: 'Working load of one anchor.' }],
      example: 'anchor rated 2 kN',
    }),
  ],
  needs: ['height', 'sail', 'wind', 'guys'],
  example: `mast spruce-mast  at foot {
  height 7 m
  sail   2.4 m2  drag 1.2
  wind   25 m/s
  guys   4  at 5.5 m  radius 4 m  rated 2 kN
  anchor rated 2 kN
}`,
});

/** Documents of a given number of lines for the editor benchmark: a display, and a JSON text that says as much. */

const PARTS = `plan "Benchmark" {
  frame-rate 40 fps
}
place shed
part pixel bullet {
  voltage 12 V
  accepts 9 V to 13.5 V
  least 9.5 V
  red 18.5 mA knee 7.2 V dark 6 V
  green 18.5 mA knee 8.4 V dark 7.6 V
  blue 18.5 mA knee 8.4 V dark 7.6 V
  idle 1 mA
  wire 18 AWG
  rated 8 A
}
part cable lead {
  conductor 18 AWG
  carries V+ ground data
  rated 7 A
}
part cable trunk {
  conductor 14 AWG
  carries V+ ground
  rated 15 A
}
part supply big {
  voltage 12 V
  adjust 10.8 V to 13.2 V
  rated 29 A
  power 350 W
  droop 2 mohm
}
part controller box-part {
  ports 4
  port-pixels 800 px
  port-fuse 5 A
  draws 0.3 A
  accepts 5 V to 24 V
  lead-limit 10 m
}
`;

const LINES_OF_GROUP = 16;
/**
 * 1,250 groups of 80 pixels make the 100,000 of the largest document. No two of the first 20 x 21 x 19 groups are the
 * same circuit, so that none is solved by having been seen before.
 */
const group = (n) => `
supply psu-${n} of big at shed {
  set 12 V
  output 1 fuse 7.5 A
  output 2 fuse 7.5 A
}
controller box-${n} of box-part at shed from psu-${n}.1
## Run number ${n}.
run run-${n} from box-${n}.1 at shed {
  lead ${2 + (n % 20) / 10} m of lead
  outline front-${n} ${30 + (n % 21)} px of bullet every 75 mm
  gap 1 m
  string ${50 - (n % 21)} px of bullet every 75 mm
}
feed feed-${n} from psu-${n}.2 to run-${n}.end ${6 + (n % 19) / 10} m of trunk
# the next one
`;

/**
 * A display of about `lines` lines. `typed(n)` is the text in front of which the n-th keystroke puts a digit: the length
 * of a feed, of another group each time; `hover` and `complete` are the texts behind which the pointer and the cursor stand.
 */
export function display(lines) {
  const groups = Math.max(1, Math.round((lines - PARTS.split('\n').length) / LINES_OF_GROUP));
  const text = PARTS + Array.from({ length: groups }, (_, n) => group(n)).join('');
  const feed = (n) => `feed feed-${n} from psu-${n}.2 to `;
  return {
    text,
    languageId: 'festoon',
    name: 'plan.festoon',
    typed: (n) => `${feed(n % groups)}run-${n % groups}.end `,
    hover: `${feed(groups >> 1)}ru`,
    complete: `run-${groups >> 1} from box-${groups >> 1}.1 at `,
    pixels: groups * 80,
  };
}

/** The same number of lines as a JSON list of such records; its values are held to a schema. */
export function json(lines) {
  const count = Math.max(1, Math.round(lines / LINES_OF_GROUP));
  const record = (n) => `  {
    "supply": "psu-${n}",
    "set": 12,
    "outputs": [
      { "number": 1, "fuse": 7.5 },
      { "number": 2, "fuse": 7.5 }
    ],
    "controller": "box-${n}",
    "run": "run-${n}",
    "lead": ${2 + (n % 20) / 10},
    "pixels": [${30 + (n % 21)}, ${50 - (n % 21)}],
    "pitch": 75,
    "feed": "feed-${n}",
    "length": ${6 + (n % 19) / 10},
    "cable": "trunk"
  }`;
  return {
    text: `[\n${Array.from({ length: count }, (_, n) => record(n)).join(',\n')}\n]\n`,
    languageId: 'json',
    name: 'plan.json',
    typed: (n) => `"feed": "feed-${n % count}",\n    "length": `,
    hover: `"feed": "feed-${count >> 1}",\n    "le`,
    complete: `"run": "run-${count >> 1}",\n    "`,
    pixels: 0,
  };
}

export const SCHEMA = {
  type: 'array',
  items: {
    type: 'object',
    required: ['supply', 'outputs', 'run', 'length'],
    additionalProperties: false,
    properties: {
      supply: { type: 'string' },
      set: { type: 'number', minimum: 5, maximum: 24 },
      outputs: {
        type: 'array',
        items: { type: 'object', properties: { number: { type: 'integer' }, fuse: { type: 'number', maximum: 30 } } },
      },
      controller: { type: 'string' },
      run: { type: 'string' },
      lead: { type: 'number' },
      pixels: { type: 'array', items: { type: 'integer', minimum: 1 } },
      pitch: { type: 'number' },
      feed: { type: 'string' },
      length: { type: 'number', maximum: 100, description: 'Length of the feed, m.' },
      cable: { enum: ['trunk', 'lead'] },
    },
  },
};

import { entry, quantity, text, to } from './entry.ts';
import { PART_CONTROLLER } from './parts.ts';
import { LENGTH, WAY } from './runs.ts';

/** Remote receivers: boards at the far end of a differential link, with ports of their own. */

const portLines = PART_CONTROLLER.block;

export const PART_RECEIVER = entry({
  word: 'part receiver',
  name: 'required',
  help: 'A kind of remote receiver: what comes over a link from the ports of a controller goes out of its own ports.',
  phrases: [{ key: 'label', value: text, help: 'What it is called on the shelf.' }],
  block: [
    ...portLines,
    entry({
      word: 'link-limit',
      name: 'none',
      help: 'How far its link reaches from the controller.',
      phrases: [{ key: 'length', value: quantity(['length'], 1, 1200), required: true, help: 'Length of the link.' }],
      example: 'link-limit 100 m',
    }),
  ],
  needs: ['ports'],
  example: `part receiver differential-4 "4-port receiver" {
  ports       4
  port-fuse   5 A
  draws       0.2 A
  accepts     5 V to 24 V
  link-limit  100 m
}`,
});

export const RECEIVER = entry({
  word: 'receiver',
  name: 'required',
  help: 'A remote receiver, with ports that are used as those of a controller are.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'part', word: 'of', value: to('receiver-part'), required: true, help: 'A receiver part.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where it stands.' },
    { key: 'from', word: 'from', value: to('output'), help: 'The output that powers it and its ports.' },
  ],
  block: [
    entry({
      word: 'link',
      name: 'none',
      help: 'The differential link that brings its data. It takes as many ports of the controller as the receiver has, from the one that is named on. From another receiver it goes on: both then share these ports.',
      phrases: [
        {
          key: 'from',
          word: 'from',
          value: to('port', 'controller'),
          required: true,
          help: 'The first port of a controller that it takes, or a receiver that it goes on from.',
        },
        LENGTH,
        { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'A cable part that carries data.' },
        WAY,
      ],
      example: 'link from box.13  31 m  of network-cable',
    }),
  ],
  needs: ['link'],
  example: `receiver north  of differential-4  at quay  from quay-psu.1 {
  link from box.13  31 m  of network-cable
}`,
});

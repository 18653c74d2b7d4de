import { usedExtensions } from '../model/circuit-load.ts';
import type { Check } from './check.ts';

const NEEDED = ['line', 'neutral', 'earth'] as const;

export const extensionCord: Check = {
  code: 'extension-cord',
  level: 'error',
  title: 'An extension lead is not a mains cord with earth',
  explanation: `A mains lead has three cores: line, neutral and earth (\`carries line neutral earth\` on the cable part). Low-voltage
cable is not insulated for mains and kills. Metal supplies need their earth; without it nothing trips when a wire comes loose.

What helps: a listed outdoor extension lead. Mains work is for a licensed electrician and local codes.`,
  whole: true,
  run: ({ plan, account }, report) => {
    for (const { extension, owner } of usedExtensions(plan, account)) {
      const { cord } = extension;
      const lacks = cord === undefined ? [] : NEEDED.filter((core) => !cord.cores.has(core));
      if (cord === undefined || lacks.length === 0) continue;
      report({
        code: 'extension-cord',
        origin: extension.origin,
        subject: owner.name,
        message: `The lead of ${owner.name} is mains, but ${cord.name} carries no ${lacks.join(', no ')}. Take a mains cord: carries line neutral earth.`,
        related: [{ origin: cord.origin, message: `${cord.name} is described here.` }],
      });
    }
  },
};

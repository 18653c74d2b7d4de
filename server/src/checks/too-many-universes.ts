import { networkLoads } from '../model/network-load.ts';
import { count } from '../model/texts.ts';
import type { Check } from './check.ts';

export const tooManyUniverses: Check = {
  code: 'too-many-universes',
  level: 'error',
  title: 'A controller would have to receive more universes than it can',
  explanation: `A board has room for a limited number of universes (\`universes\` of its part). What lies beyond it stays
dark. 170 pixels of three slots fill a universe; a pinned run may open a universe that others leave unused.

What helps: move runs to another controller, or close the holes between pinned runs.`,
  whole: true,
  run: ({ plan }, report) => {
    for (const [controller, { universes }] of networkLoads(plan)) {
      const limit = controller.part?.universesLimit;
      if (limit === undefined || universes <= limit.value) continue;
      report({
        code: 'too-many-universes',
        excess: universes / limit.value - 1,
        origin: controller.origin,
        subject: controller.name,
        message: `${controller.name} needs ${count(universes, 'universe')}; a ${controller.part?.name ?? 'controller'} receives ${limit.value}. Move some of its runs to another controller.`,
        related: limit.origin === undefined ? [] : [{ origin: limit.origin, message: 'The limit of the part.' }],
      });
    }
  },
};

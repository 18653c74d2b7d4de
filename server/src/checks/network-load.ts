import { networkLoads } from '../model/network-load.ts';
import { bitRate, share, shareBeside } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const networkLoad: Check = {
  code: 'network-load',
  level: 'warning',
  title: 'The network carries more than it should',
  explanation: `Each universe is a packet of 638 bytes in every frame (ANSI E1.31, all 512 slots), with 66 bytes of UDP, IP and
Ethernet around it: 225,280 bit/s at 40 frames a second. All packets of a frame are sent at once, so a link that is
half full on average is full in bursts. A link is loaded to half its speed (common practice); the \`network\` line of the
plan says otherwise. Links are those of the controllers (\`network\` of the part) and the slowest that carries all of them.

What helps: a lower frame rate, fewer holes between pinned runs, a faster link.`,
  whole: true,
  run: ({ plan }, report) => {
    const { network, networkShare } = plan.design.data;
    const loads = networkLoads(plan);
    let sum = 0;
    let told = 0;
    for (const [controller, { bitsPerSecond }] of loads) {
      sum += bitsPerSecond;
      const speed = controller.part?.network;
      if (speed === undefined || !exceeds(bitsPerSecond, speed.value * networkShare.value)) continue;
      told++;
      report({
        code: 'network-load',
        excess: bitsPerSecond / (speed.value * networkShare.value) - 1,
        origin: controller.origin,
        subject: controller.name,
        message: `${controller.name} receives ${bitRate(bitsPerSecond)}, ${shareBeside(bitsPerSecond / speed.value, networkShare.value)} of its ${bitRate(speed.value)} port (${speed.source}); at most ${share(networkShare.value)} should be used. Lower the frame rate, or move runs to another controller.`,
      });
    }
    const first = [...plan.controllers.values()][0];
    // Of a single controller it would be said twice.
    if (first === undefined || (loads.size === 1 && told === 1)) return;
    if (!exceeds(sum, network.value * networkShare.value)) return;
    report({
      code: 'network-load',
      excess: sum / (network.value * networkShare.value) - 1,
      origin: network.origin ?? networkShare.origin ?? plan.design.titleOrigin ?? first.origin,
      message: `All controllers together receive ${bitRate(sum)}, ${shareBeside(sum / network.value, networkShare.value)} of the network's ${bitRate(network.value)} (${network.source}); at most ${share(networkShare.value)} should be used. Lower the frame rate, or use a faster network.`,
    });
  },
};

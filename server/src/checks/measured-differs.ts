import { volts } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';
import { tapsRun } from './wrong-voltage.ts';

/** How far a reading may be off, V and as a share: handheld meters and contacts of the probe (common practice). */
const METER_VOLTS = 0.1;
const METER_SHARE = 0.01;

export const measuredDiffers: Check = {
  code: 'measured-differs',
  level: 'warning',
  ofLoad: true,
  title: 'A meter reading differs from the computed voltage',
  needs: needs.readings,
  explanation: `A reading is compared with what is computed at the same place for the look that was lit. A difference of up to 0.1 V or
1 %, whichever is more, is left to the meter and the probe (common practice).

Less than computed: current is lost on the way, most often at one bad contact: a loose screw, a corroded connector, a
splice. Measure on both sides of each joint between the supply and this place while it is lit; the bad one has a drop of
its own. More than computed: less was lit than the plan thinks, the supply is set higher, or the cable is thicker.

Disconnect before you touch a joint.`,
  run: ({ plan, account }, report) => {
    for (const { measurement, computedVolts } of account.measured) {
      const difference = measurement.volts - computedVolts;
      if (!exceeds(Math.abs(difference), Math.max(METER_VOLTS, METER_SHARE * computedVolts))) continue;
      const { tap, look, brightness } = measurement;
      const when = `for ${look} at ${Math.round(brightness * 100)} %`;
      const why =
        difference < 0
          ? `${volts(-difference)} more are lost than should be: look for a bad joint on the way to it.`
          : `${volts(difference)} fewer are lost than should be: was less lit, or is the supply set higher?`;
      report({
        code: 'measured-differs',
        origin: measurement.voltsOrigin,
        subject: tap.run.name,
        message: `The meter said ${volts(measurement.volts)} at ${tap.text}; ${volts(computedVolts)} is computed ${when}. ${why}`,
        related: [...plan.feeds.values()]
          .filter((feed) => tapsRun(feed, tap.run))
          .map((feed) => ({ origin: feed.origin, message: `${feed.name} feeds ${tap.run.name}.` })),
      });
    }
  },
};

import type { Account } from '../model/account.ts';
import { type Fault, faultsOf, isInUse, matters } from '../model/faults.ts';
import type { Plan } from '../model/plan.ts';
import { alreadyTexts, effectsOf, FAULT_TITLES, placeText, thingText, UNSEEN } from './fault-texts.ts';
import type { Cell, Paper } from './paper.ts';

/** Show night: these pixels are dark, so look here first. */
export function faultTable(plan: Plan, account: Account): Paper {
  const faults = faultsOf(account);
  const already = alreadyTexts(account);
  return {
    id: 'faults',
    title: 'When something goes dark',
    intro:
      'Find the dark or dim pixels in the right column, look first at what stands to the left. Switch the supply off before a fuse is changed, put in the same rating, and find out why it blew: a second one tells nothing new.',
    tables: [
      {
        id: 'faults',
        ...(already.length === 0 ? {} : { note: already.join(' ') }),
        columns: [
          { title: FAULT_TITLES.thing },
          { title: 'where' },
          { title: FAULT_TITLES.dark },
          { title: FAULT_TITLES.dim },
          { title: FAULT_TITLES.blown },
        ],
        rows: faults.filter(matters).map((fault): Cell[] => {
          const { dark, dim, blown } = effectsOf(fault);
          return [thingText(fault.what), placeText(fault.what), dark.join('; '), dim.join('; '), blown.join(', ')];
        }),
      },
      ...spares(plan, faults),
    ],
  };
}

function spares(plan: Plan, faults: readonly Fault[]): Paper['tables'] {
  const quiet = faults.filter((fault) => !matters(fault) && isInUse(plan, fault.what));
  if (quiet.length === 0) return [];
  return [
    {
      id: 'faults-unseen',
      title: 'Nobody would see these fail',
      note: `The rest carries on: ${UNSEEN}. Check them by hand from time to time.`,
      columns: [{ title: 'this' }, { title: 'where' }],
      rows: quiet.map(({ what }): Cell[] => [thingText(what), placeText(what)]),
    },
  ];
}

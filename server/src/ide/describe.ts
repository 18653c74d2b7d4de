import type { Kind } from '#grammar/words/entry.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { Card } from './card.ts';
import { outputCard } from './cards/power-cards.ts';
import { pixelCard, runCard } from './cards/run-card.ts';
import { portCard } from './cards/site-cards.ts';
import { thingCard } from './cards/thing-card.ts';
import { namedOfKind } from './names.ts';

/** What there is to say about a name that completion offered: `psu-a.2` as an output, `box.1` as a port. */
export function describeName(analysis: Analysis, kind: Kind, text: string): Card | undefined {
  const { plan } = analysis;
  const [name = '', member = ''] = text.split(/[.[(]/);
  if (kind === 'output') {
    const output = (plan.boards.get(name) ?? plan.supplies.get(name))?.outputs.get(Number(member));
    return output === undefined ? undefined : outputCard(analysis, output);
  }
  if (kind === 'port') {
    const controller = plan.controllers.get(name);
    return controller === undefined ? undefined : portCard(analysis, controller, Number(member));
  }
  if (kind === 'tap') {
    const run = plan.runs.get(name);
    if (run === undefined) return undefined;
    return text.includes('[') ? pixelCard(analysis, run, Number.parseInt(member, 10)) : runCard(analysis, run);
  }
  const thing = namedOfKind(plan, kind).get(name);
  return thing === undefined ? undefined : thingCard(analysis, thing);
}

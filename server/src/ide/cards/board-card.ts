import type { Analysis } from '../../analysis/analysis.ts';
import { outputText } from '../../model/outputs.ts';
import type { Board } from '../../model/plan.ts';
import { amps, metres, rating, share, volts } from '../../model/texts.ts';
import { type Card, fact } from '../card.ts';
import { conditions, whyUnsolved } from './conditions.ts';
import { outputUse } from './power-cards.ts';

const MOST_LISTED = 16;

/** A fused board: what feeds it and through what, and what hangs on its outputs. */
export function boardCard(analysis: Analysis, board: Board): Card {
  const { plan, account } = analysis;
  const load = account.boards.get(board);
  const through = load?.cable.positive;
  const rated = board.cable.rated === undefined ? undefined : board.cable.rated.value * board.parallel;
  const doubled = board.parallel > 1 ? ` x ${board.parallel}` : '';
  return {
    kind: 'board',
    name: board.name,
    label: board.label,
    description: board.description,
    facts: [
      ...fact('stands at', board.place?.name, board.place?.label),
      ...fact('from', outputText(board.from), outputUse(analysis, board.from)),
      ...fact(
        'cable',
        `${metres(board.length, plan.design.units)} of ${board.cable.name}${doubled}`,
        through === undefined || rated === undefined
          ? undefined
          : `${amps(through)}, ${share(through / rated)} of ${rating(rated)}`,
      ),
      ...fact('drop in its cable', load === undefined ? undefined : volts(Math.abs(load.drop)), 'both conductors'),
      ...[...board.outputs.values()]
        .slice(0, MOST_LISTED)
        .flatMap((output) => fact(`output ${output.number}`, outputUse(analysis, output))),
    ],
    notes: [
      load === undefined ? whyUnsolved(analysis, ({ island }) => island.boards.includes(board)) : conditions(plan),
    ],
  };
}

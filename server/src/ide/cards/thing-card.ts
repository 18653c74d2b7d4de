import type { Analysis } from '../../analysis/analysis.ts';
import type { Card } from '../card.ts';
import type { Thing } from '../names.ts';
import { boardCard } from './board-card.ts';
import { claimFacts } from './claim-cards.ts';
import { circuitCard } from './mains-cards.ts';
import { mastCard } from './mast-card.ts';
import { cablePartCard, connectorPartCard, controllerPartCard, pixelPartCard, supplyPartCard } from './part-cards.ts';
import { bondCard, feedCard, outputCard, supplyCard } from './power-cards.ts';
import { runCard } from './run-card.ts';
import { controllerCard, elementCard, placeCard, propCard } from './site-cards.ts';

/** What there is to say about a thing of the plan. */
export function thingCard(analysis: Analysis, thing: Thing): Card {
  const card = plainCard(analysis, thing);
  const facts = claimFacts(analysis, thing);
  return facts.length === 0 ? card : { ...card, facts: [...card.facts, ...facts] };
}

function plainCard(analysis: Analysis, thing: Thing): Card {
  switch (thing.kind) {
    case 'place':
      return placeCard(analysis, thing);
    case 'pixel':
    case 'panel':
    case 'flood':
      return pixelPartCard(analysis, thing);
    case 'cable':
      return cablePartCard(analysis, thing);
    case 'connector':
      return connectorPartCard(analysis, thing);
    case 'supply-part':
      return supplyPartCard(analysis, thing);
    case 'controller-part':
      return controllerPartCard(analysis, thing);
    case 'circuit':
      return circuitCard(analysis, thing);
    case 'mast':
      return mastCard(analysis, thing);
    case 'supply':
      return supplyCard(analysis, thing);
    case 'output':
      return outputCard(analysis, thing.output);
    case 'board':
      return boardCard(analysis, thing);
    case 'controller':
      return controllerCard(analysis, thing);
    case 'prop':
      return propCard(analysis, thing);
    case 'run':
      return runCard(analysis, thing);
    case 'element':
      return elementCard(analysis, thing);
    case 'feed':
      return feedCard(analysis, thing);
    case 'bond':
      return bondCard(analysis, thing);
  }
}

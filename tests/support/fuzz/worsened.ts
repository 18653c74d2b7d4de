import type { Seedling } from './corpus.ts';
import { generatePlan } from './generate.ts';
import { mutate, scaleNumber, tokensOf } from './mutate.ts';
import type { Random } from './random.ts';

/** A plan as it goes wrong in real life: another number here and there, now and then a word. */
export function worsened(random: Random, plans: readonly Seedling[]): string {
  if (random.chance(0.2)) return generatePlan(random);
  const tokens = tokensOf(random.pick(plans).text);
  for (let count = 1 + random.below(3); count > 0; count--) scaleNumber(random, tokens);
  return random.chance(0.5) ? mutate(random, tokens.join('')) : tokens.join('');
}

import type { Plan } from './plan.ts';

/** The currencies that the prices of a plan are written in, each once. */
export function currenciesOf(plan: Plan): string[] {
  const parts = [
    ...plan.pixels.values(),
    ...plan.panels.values(),
    ...plan.floods.values(),
    ...plan.cables.values(),
    ...plan.connectors.values(),
    ...plan.supplyParts.values(),
    ...plan.controllerParts.values(),
    ...plan.receiverParts.values(),
  ];
  return [...new Set(parts.flatMap(({ price }) => price?.currency ?? []))];
}

import type { Analysis } from '../../analysis/analysis.ts';
import {
  circuitAmps,
  extensionDrop,
  residualHolds,
  summed,
  suppliesOn,
  supplyMainsAmps,
  TRIP_MULTIPLES,
} from '../../model/circuit-load.ts';
import { deratedOf, deratedText } from '../../model/derating.ts';
import type { Circuit, Design, Extension, Supply } from '../../model/plan.ts';
import { energyText, seasonAccount } from '../../model/season.ts';
import { amps, metres, rating, share, volts } from '../../model/texts.ts';
import { type Card, type Fact, fact } from '../card.ts';
import { conditions } from './conditions.ts';

/** Mains: circuits from the breaker to the supplies, and the season. */

export function circuitCard(analysis: Analysis, circuit: Circuit): Card {
  const { plan, account } = analysis;
  const load = circuitAmps(account, circuit);
  const breaker = circuit.amps;
  const season = seasonAccount(plan, account)?.circuits.get(circuit);
  const { continuous } = circuit;
  return {
    kind: 'circuit',
    name: circuit.name,
    label: circuit.label,
    description: circuit.description,
    facts: [
      ...fact(
        'breaker',
        breaker === undefined ? undefined : rating(breaker),
        circuit.volts === undefined ? undefined : `${circuit.volts} V mains`,
      ),
      ...fact(
        'load',
        amps(load),
        breaker === undefined
          ? undefined
          : `${share(load / breaker)} of the breaker; at most ${share(continuous.value)} for a load that lasts${continuous.origin === undefined ? ` (${continuous.source})` : ''}`,
      ),
      ...inrushFact(analysis, circuit),
      ...leakageFact(analysis, circuit),
      ...extensionFact(plan.design, circuit.extension, load, circuit.volts),
      ...fact(
        'supplies',
        suppliesOn(plan, circuit)
          .map((supply) => supply.name)
          .join(', ') || 'none yet',
      ),
      ...fact('the season', season === undefined ? undefined : energyText(season)),
      ...fact('socket at', circuit.place?.name, circuit.place?.label),
    ],
    notes: [conditions(plan), 'Mains work is for a licensed electrician and local codes.'],
  };
}

function inrushFact({ plan }: Analysis, circuit: Circuit): Fact[] {
  const { amps: sum, stated, silent } = summed(plan, circuit, 'inrush');
  if (stated === 0 || circuit.amps === undefined) return [];
  const { value, origin, source } = circuit.trip;
  const [holds, trips] = TRIP_MULTIPLES[value];
  const type = `type ${value}${origin === undefined ? ` (${source})` : ', IEC 60898'}`;
  const left = silent.length === 0 ? '' : `; ${silent.length} not stated`;
  return fact(
    'inrush, all together',
    rating(sum),
    `the breaker may trip at once from ${rating(holds * circuit.amps)} and must from ${rating(trips * circuit.amps)}: ${type}${left}`,
  );
}

function leakageFact({ plan }: Analysis, circuit: Circuit): Fact[] {
  const { amps: sum, stated, silent } = summed(plan, circuit, 'leakage');
  if (stated === 0) return [];
  const left = silent.length === 0 ? undefined : `${silent.length} not stated`;
  const milli = (value: number) => `${Number((value * 1000).toPrecision(3))} mA`;
  if (circuit.residual === undefined)
    return fact('leakage, all together', milli(sum), left ?? 'the circuit states no residual-current device');
  const holds = residualHolds(circuit.residual.value);
  return fact(
    'leakage, all together',
    milli(sum),
    `the ${milli(circuit.residual.value)} device may trip from ${milli(holds.amps)}: ${holds.source}${left === undefined ? '' : `; ${left}`}`,
  );
}

function extensionFact(
  design: Design,
  extension: Extension | undefined,
  load: number,
  mains: number | undefined,
): Fact[] {
  if (extension === undefined) return [];
  const drop = extensionDrop(design, extension, load);
  const rated = extension.cord?.rated;
  const lost =
    drop === undefined || mains === undefined ? [] : [`loses ${volts(drop)}, ${((drop / mains) * 100).toFixed(1)} %`];
  const carries = rated === undefined ? [] : [`${amps(load)} of ${rating(rated.value)} (${rated.source})`];
  return fact(
    'extension lead',
    `${metres(extension.length, design.units)} of ${extension.cord?.name ?? 'an unknown cord'}`,
    [...lost, ...carries].join(', ') || undefined,
  );
}

/** What a supply takes from the mains, and what warmth leaves of its rating. */
export function supplyMainsFacts({ plan, account }: Analysis, supply: Supply): Fact[] {
  const { circuit } = supply;
  const load = supplyMainsAmps(account, supply);
  const derated = deratedOf(plan.design, supply);
  return [
    ...fact('from the mains', circuit?.volts === undefined ? undefined : amps(load), `at ${circuit?.volts} V`),
    ...extensionFact(plan.design, supply.extension, load, circuit?.volts),
    ...fact(
      'can give in its box',
      derated === undefined || supply.part?.derating === undefined ? undefined : amps(derated.amps),
      derated === undefined ? undefined : deratedText(derated, plan.design.air.value.to),
    ),
  ];
}

/** The energy of the season, for the lines that tell of the plan as a whole. */
export function seasonFacts({ plan, account }: Analysis): Fact[] {
  const found = seasonAccount(plan, account);
  if (found === undefined) return [];
  const { season, unsolved } = found;
  const { value, origin, source } = season.brightness;
  const left = unsolved === 0 ? '' : '; a part of the plan without voltages is not counted';
  return [
    ...fact(
      'the season takes',
      energyText(found),
      `${season.nights} nights of ${Number((season.seconds / 3600).toPrecision(3))} h, white at ${share(value)}${origin === undefined ? ` (${source})` : ''}, efficiency as at full load${left}`,
    ),
    ...[...found.circuits].flatMap(([circuit, part]) => fact(`on ${circuit.name}`, energyText(part))),
  ];
}

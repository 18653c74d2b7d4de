import { addressesOf, LAST_UNIVERSE, type RunAddress } from '../model/addresses.ts';
import { driverOf } from '../model/links.ts';
import type { Controller, Plan, Run } from '../model/plan.ts';
import { type Cell, type Paper, type Table, whole } from './paper.ts';

/** What is typed into each controller and into the show software: which universe and slot each port starts at. */
export function addressTable(plan: Plan): Paper {
  const addresses = [...addressesOf(plan).values()];
  return {
    id: 'addresses',
    title: 'Addresses',
    intro: `Universes 1 to ${LAST_UNIVERSE.toLocaleString('en')} and slots 1 to 512 (ANSI E1.31), both counted from 1. Dark pixels take no slots: tell the controller where they are.`,
    tables: [...new Set(addresses.map(({ controller }) => controller))].map((controller) =>
      tableOf(
        controller,
        addresses.filter((address) => address.controller === controller),
      ),
    ),
  };
}

function tableOf(controller: Controller, addresses: readonly RunAddress[]): Table {
  const portOf = ({ run }: RunAddress) => driverOf(run)?.sourcePort ?? run.port ?? 0;
  const ordered = [...addresses].sort((a, b) => portOf(a) - portOf(b));
  const isLinked = addresses.some(({ run }) => run.controller?.isReceiver === true);
  return {
    id: `addresses-${controller.name}`,
    title: `Controller ${controller.name}`,
    ...(controller.place === undefined ? {} : { note: `At ${controller.place.label ?? controller.place.name}.` }),
    columns: [
      { title: 'port', align: 'right' },
      ...(isLinked ? [{ title: 'through' }] : []),
      { title: 'run' },
      { title: 'universe', align: 'right' },
      { title: 'first slot', align: 'right' },
      { title: 'last slot', align: 'right' },
      { title: 'first pixel', align: 'right' },
      { title: 'last pixel', align: 'right' },
    ],
    rows: ordered.flatMap((address) =>
      address.spans.map(({ universe, slot, slots, firstPixel, lastPixel }, index): Cell[] => [
        index > 0 || address.run.port === undefined ? undefined : whole(portOf(address)),
        ...(isLinked ? [index > 0 ? undefined : receiverPort(address.run)] : []),
        index > 0 ? undefined : address.run.name,
        whole(universe),
        whole(slot),
        whole(slot + slots - 1),
        whole(firstPixel),
        whole(lastPixel),
      ]),
    ),
  };
}

/** "north.1": the port of a receiver that a link brings the data to. */
function receiverPort({ controller, port }: Run): string | undefined {
  return controller?.isReceiver === true && port !== undefined ? `${controller.name}.${port}` : undefined;
}

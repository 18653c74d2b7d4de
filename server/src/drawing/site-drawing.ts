import { sure } from '#grammar/sure.ts';
import { cablesOn } from '../checks/route-crowded.ts';
import type { Place, Plan } from '../model/plan.ts';
import { count, metres } from '../model/texts.ts';
import { bar, type Drawing, fitted, group, label, line, type Shape } from './shape.ts';

const COLUMN = 330;
const ROW = 92;
const BOX = { width: 160, height: 62 };

/** Places and the ways between them, with how many cables pass. Places stand by how many ways they lie from the first. */
export function siteDrawing(plan: Plan): Drawing {
  const spots = spotsOf(plan);
  const shapes: Shape[] = [];
  for (const route of plan.routes) {
    const [from, to] = [sure(spots.get(route.from)), sure(spots.get(route.to))];
    const cables = cablesOn(plan, route).reduce((sum, cable) => sum + cable.count, 0);
    const over = route.most !== undefined && cables > route.most;
    const limit = route.most === undefined ? '' : ` of ${route.most}`;
    const text = `${metres(route.length, plan.design.units)}, ${count(cables, 'cable')}${limit}${over ? ', TOO MANY' : ''}`;
    const [x1, y1, x2, y2] = ends(from, to);
    const look = over ? 'over' : cables === 0 ? 'faint' : 'power';
    shapes.push(
      group(
        `Route ${route.from.name} to ${route.to.name}: ${text}`,
        route.origin,
        line(x1, y1, x2, y2, look),
        // Nearer to the far end, where lines that leave one box together have parted.
        label(
          x1 + (x2 - x1) * 0.55,
          y1 + (y2 - y1) * 0.55 + (y1 === y2 ? -6 : 4),
          text,
          over ? 'over' : 'ink',
          y1 === y2 ? 'middle' : 'start',
        ),
      ),
    );
  }
  for (const [place, spot] of spots) shapes.push(placeBox(plan, place, spot));
  if (spots.size === 0) shapes.push(label(10, 24, 'This plan has no places yet. Each is a line: place shed', 'ink'));
  const all = [...spots.values()];
  return {
    title: `Places and routes of ${plan.design.title ?? 'the display'}`,
    width: Math.max(360, ...all.map(({ x }) => x + BOX.width + 10)),
    height: Math.max(60, ...all.map(({ y }) => y + BOX.height + 10)),
    shapes,
  };
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

function spotsOf(plan: Plan): Map<Place, Spot> {
  const spots = new Map<Place, Spot>();
  const rows: number[] = [];
  const put = (place: Place, column: number) => {
    const row = sure(rows[column]);
    rows[column] = row + 1;
    spots.set(place, { x: 10 + column * COLUMN, y: 10 + row * ROW });
  };
  for (const first of plan.places.values()) {
    if (spots.has(first)) continue;
    // A part of the site that no route joins to the others begins below all of them.
    const floor = Math.max(0, ...rows);
    for (let column = 0; column < rows.length; column++) rows[column] = floor;
    rows[0] = floor;
    let layer = [first];
    for (let column = 0; layer.length > 0; column++) {
      rows[column] = Math.max(rows[column] ?? 0, floor);
      for (const place of layer) put(place, column);
      layer = [
        ...new Set(
          layer.flatMap((place) =>
            plan.routes.flatMap(({ from, to }) => (from === place ? [to] : to === place ? [from] : [])),
          ),
        ),
      ].filter((place) => !spots.has(place));
    }
  }
  return spots;
}

/** From the side of one box to the side of the other. */
function ends(from: Spot, to: Spot): [number, number, number, number] {
  const middle = (spot: Spot) => spot.y + BOX.height / 2;
  if (from.x === to.x) {
    const x = from.x + BOX.width / 2;
    return from.y < to.y ? [x, from.y + BOX.height, x, to.y] : [x, from.y, x, to.y + BOX.height];
  }
  return from.x < to.x
    ? [from.x + BOX.width, middle(from), to.x, middle(to)]
    : [from.x, middle(from), to.x + BOX.width, middle(to)];
}

function placeBox(plan: Plan, place: Place, { x, y }: Spot): Shape {
  const boxes = [...plan.supplies.values(), ...plan.controllers.values()].filter((thing) => thing.place === place);
  const runs = [...plan.runs.values()].filter((run) => run.place === place);
  const stands = boxes.map(({ name }) => name).join(', ');
  const hangs = runs.map(({ name }) => name).join(', ');
  const says = [
    `Place ${place.label ?? place.name}`,
    stands === '' ? '' : `stands here: ${stands}`,
    hangs === '' ? '' : `hangs here: ${hangs}`,
  ];
  return group(
    says.filter((text) => text !== '').join('; '),
    place.origin,
    bar(x, y, BOX.width, BOX.height, 'box'),
    { ...label(x + 8, y + 17, fitted(place.name, BOX.width - 16)), strong: true },
    label(x + 8, y + 34, fitted(stands, BOX.width - 16), 'power'),
    label(x + 8, y + 51, fitted(hangs, BOX.width - 16), 'data'),
  );
}

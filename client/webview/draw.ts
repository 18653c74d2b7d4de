import type { Drawing, Group, Place, Shape } from './messages.ts';

/** Draws shapes as SVG elements. Elements are made one by one and texts are set as texts: nothing is ever parsed. */

const SVG = 'http://www.w3.org/2000/svg';

/** A thing in the drawing that can be walked to and opened. */
export interface Stop {
  readonly element: SVGGElement;
  readonly says: string;
  readonly place: Place | undefined;
}

export function draw(drawing: Drawing): { svg: SVGSVGElement; stops: Stop[] } {
  const svg = document.createElementNS(SVG, 'svg');
  set(svg, { viewBox: `0 0 ${num(drawing.width)} ${num(drawing.height)}`, role: 'group', 'aria-label': drawing.title });
  svg.style.setProperty('--width', `${num(drawing.width)}px`);
  const stops: Stop[] = [];
  for (const shape of drawing.shapes) svg.append(elementOf(shape, stops));
  return { svg, stops };
}

function elementOf(shape: Shape, stops: Stop[]): SVGElement {
  switch (shape.kind) {
    case 'group':
      return groupOf(shape, stops);
    case 'line':
      return made('line', shape.look, { x1: shape.x1, y1: shape.y1, x2: shape.x2, y2: shape.y2 });
    case 'bar':
      return made('rect', shape.look, {
        x: shape.x,
        y: shape.y,
        width: Math.max(0, shape.width),
        height: shape.height,
      });
    case 'path': {
      const points = shape.points.map(([x, y]) => `${num(x)},${num(y)}`).join(' ');
      return made(shape.closed === true ? 'polygon' : 'polyline', shape.look, { points });
    }
    case 'label': {
      const element = made('text', shape.look, { x: shape.x, y: shape.y, 'text-anchor': shape.anchor ?? 'start' });
      if (shape.strong === true) element.classList.add('strong');
      element.textContent = shape.text;
      return element;
    }
  }
}

function groupOf({ says, place, shapes }: Group, stops: Stop[]): SVGGElement {
  const element = document.createElementNS(SVG, 'g');
  set(element, { role: place === undefined ? 'img' : 'button', tabindex: '-1' });
  element.classList.add('stop');
  // The title is its name for a screen reader (SVG accessibility mappings) and its tip for a mouse.
  const title = document.createElementNS(SVG, 'title');
  title.textContent = says;
  element.append(title, ...shapes.map((shape) => elementOf(shape, stops)));
  stops.push({ element, says, place });
  return element;
}

function made(
  tag: 'line' | 'rect' | 'polyline' | 'polygon' | 'text',
  look: string,
  attributes: Attributes,
): SVGElement {
  const element = document.createElementNS(SVG, tag);
  set(element, attributes);
  element.classList.add(
    tag === 'polyline' || tag === 'line' ? 'stroke' : tag === 'text' ? 'text' : 'fill',
    `look-${look}`,
  );
  return element;
}

type Attributes = Readonly<Record<string, string | number>>;

function set(element: Element, attributes: Attributes): void {
  for (const [name, value] of Object.entries(attributes))
    element.setAttribute(name, typeof value === 'number' ? String(num(value)) : value);
}

const num = (value: number) => (Number.isFinite(value) ? Math.round(value * 10) / 10 : 0);

/** The drawing panel: shows what the extension sends, keeps its place while the plan is edited, and can be walked by keys. */
import { draw, type Stop } from './draw.ts';
import { type Drawing, type FromPanel, type Place, type Sheet, type ToPanel, VIEWS, type View } from './messages.ts';
import { sheetElement } from './sheet.ts';

declare function acquireVsCodeApi(): {
  postMessage(message: FromPanel): void;
  getState(): unknown;
  setState(state: unknown): void;
};

const editor = acquireVsCodeApi();

interface State {
  view: View;
  run?: string;
  zoom: number;
  asTable: boolean;
}

const TITLES: Readonly<Record<View, string>> = {
  wiring: 'Wiring',
  run: 'Run',
  site: 'Places and ways',
  review: 'What changed',
};

const state: State = { view: 'wiring', zoom: 1, asTable: false, ...(editor.getState() as Partial<State> | undefined) };
/** Left and right of the sheet, and the scroll bar. */
const MARGIN = 36;

let stops: Stop[] = [];
/** The stop that the tab key comes to. */
let current = 0;

const bar = element('div', 'bar');
bar.setAttribute('role', 'toolbar');
bar.setAttribute('aria-label', 'Drawing');
const tabs = new Map(VIEWS.map((view) => [view, button(TITLES[view], () => show({ view }))]));
const runs = document.createElement('select');
runs.setAttribute('aria-label', 'Run');
runs.addEventListener('change', () => show({ view: 'run', run: runs.value }));
const table = button('As a table', () => {
  state.asTable = !state.asTable;
  keep();
  arrange();
});
/** Of no use where tables are read. */
const drawingTools = [button('−', () => zoom(1 / 1.25), 'Smaller'), button('+', () => zoom(1.25), 'Larger'), table];
bar.append(...tabs.values(), runs, ...drawingTools);
const heading = element('h1', 'said');
const sheet = element('div', 'sheet');
const list = element('div', 'list');
const said = element('div', 'said');
said.setAttribute('role', 'status');
const main = element('main', 'all');
main.append(heading, bar, sheet, list, said);
document.body.append(main);
if (document.body.classList.contains('vscode-using-screen-reader')) state.asTable = true;

window.addEventListener('message', ({ data }: MessageEvent<ToPanel>) => {
  if (data.type === 'drawing') shown(data.view, data.drawing);
  else if (data.type === 'sheet') shownSheet(data.view, data.sheet);
  else if (data.type === 'view') show({ view: data.view });
  else if (data.type === 'cursor') markCursor(data.uri, data.line);
});
sheet.addEventListener('keydown', walk);
let resized: ReturnType<typeof setTimeout> | undefined;
window.addEventListener('resize', () => {
  clearTimeout(resized);
  resized = setTimeout(ask, 150);
});
show({ view: state.view, ...(state.run === undefined ? {} : { run: state.run }) });

function show(next: { view: View; run?: string }): void {
  state.view = next.view;
  if (next.run === undefined) delete state.run;
  else state.run = next.run;
  keep();
  ask();
}

/** Asks for what is to be shown, at the width that there is. */
function ask(): void {
  const width = Math.floor(document.body.clientWidth - MARGIN);
  editor.postMessage({ type: 'show', view: state.view, ...(state.run === undefined ? {} : { run: state.run }), width });
}

function shownSheet(view: View, found: Sheet): void {
  pressed(view);
  stops = [];
  heading.textContent = found.title;
  sheet.replaceChildren(sheetElement(found));
  sheet.hidden = false;
  list.hidden = true;
}

function pressed(view: View): void {
  for (const [each, tab] of tabs) tab.setAttribute('aria-pressed', String(each === view));
  runs.hidden = view !== 'run';
  for (const tool of drawingTools) tool.hidden = view === 'review';
}

function shown(view: View, drawing: Drawing | null): void {
  pressed(view);
  if (drawing === null) {
    const note = element('p', 'note');
    note.textContent = 'Open a plan to see it drawn.';
    sheet.replaceChildren(note);
    list.replaceChildren();
    return;
  }
  if (drawing.run !== undefined) {
    runs.replaceChildren(...drawing.runs.map((name) => new Option(name, name, false, name === drawing.run)));
  }
  const hadFocus = sheet.contains(document.activeElement);
  const before = stops[current]?.says.split(':')[0];
  const { svg, stops: found } = draw(drawing);
  stops = found;
  const again = stops.findIndex(({ says }) => says.split(':')[0] === before);
  current = Math.max(0, again);
  for (const [index, { element: stop, place }] of stops.entries()) {
    stop.addEventListener('click', (event) => {
      // The innermost thing under the mouse is meant.
      event.stopPropagation();
      focusOn(index);
      if (place !== undefined) open(place);
    });
  }
  // The scroll position stays: the element that scrolls is not replaced.
  sheet.replaceChildren(svg);
  list.replaceChildren(asTable(drawing.title));
  stops[current]?.element.setAttribute('tabindex', '0');
  if (hadFocus) stops[current]?.element.focus();
  heading.textContent = drawing.title;
  said.textContent = `${drawing.title}, drawn again`;
  arrange();
}

function arrange(): void {
  sheet.style.setProperty('--zoom', String(state.zoom));
  sheet.hidden = state.asTable;
  list.hidden = !state.asTable;
  table.setAttribute('aria-pressed', String(state.asTable));
}

function asTable(title: string): HTMLTableElement {
  const found = document.createElement('table');
  found.createCaption().textContent = title;
  const body = found.createTBody();
  for (const { says, place } of stops) {
    const row = body.insertRow();
    row.insertCell().textContent = says;
    const cell = row.insertCell();
    if (place !== undefined) cell.append(button('Open', () => open(place), `Open the line of: ${says}`));
  }
  return found;
}

function walk(event: KeyboardEvent): void {
  const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  if (step !== undefined) focusOn(Math.min(stops.length - 1, Math.max(0, current + step)));
  else if (event.key === 'Home') focusOn(0);
  else if (event.key === 'End') focusOn(stops.length - 1);
  else if (event.key === 'Enter' || event.key === ' ') {
    const place = stops[current]?.place;
    if (place !== undefined) open(place);
  } else return;
  event.preventDefault();
}

function focusOn(index: number): void {
  stops[current]?.element.setAttribute('tabindex', '-1');
  current = index;
  const stop = stops[index]?.element;
  stop?.setAttribute('tabindex', '0');
  stop?.focus();
}

function open(place: Place): void {
  editor.postMessage({ type: 'reveal', place });
}

/** Marks what the cursor of the editor stands on. */
function markCursor(uri: string, line: number): void {
  for (const { element: stop, place } of stops) {
    const here =
      place !== undefined && place.uri === uri && place.range.start.line <= line && line <= place.range.end.line;
    stop.classList.toggle('here', here);
    if (here) stop.setAttribute('aria-current', 'true');
    else stop.removeAttribute('aria-current');
  }
}

function zoom(factor: number): void {
  state.zoom = Math.min(4, Math.max(0.4, state.zoom * factor));
  keep();
  arrange();
}

function keep(): void {
  editor.setState(state);
}

function element(tag: string, name: string): HTMLElement {
  const made = document.createElement(tag);
  made.className = name;
  return made;
}

function button(text: string, act: () => void, label?: string): HTMLButtonElement {
  const made = document.createElement('button');
  made.type = 'button';
  made.textContent = text;
  if (label !== undefined) made.setAttribute('aria-label', label);
  made.addEventListener('click', act);
  return made;
}

import type { Cell, Sheet } from './messages.ts';

/** A sheet of tables as elements; all texts are set as texts. */
export function sheetElement({ title, intro, tables }: Sheet): HTMLElement {
  const found = document.createElement('article');
  found.append(text('h2', title), text('p', intro));
  if (tables.length === 0) found.append(text('p', 'Nothing that matters has changed.'));
  for (const { title: caption, columns, rows } of tables) {
    const table = document.createElement('table');
    if (caption !== undefined) table.createCaption().textContent = caption;
    const head = table.createTHead().insertRow();
    for (const column of columns) {
      const cell = text('th', column.title);
      cell.setAttribute('scope', 'col');
      head.append(cell);
    }
    const body = table.createTBody();
    for (const row of rows) {
      const line = body.insertRow();
      for (const [index] of columns.entries()) line.insertCell().textContent = textOf(row[index]);
    }
    found.append(table);
  }
  return found;
}

function textOf(cell: Cell | undefined): string {
  return cell === undefined || cell === null ? '' : typeof cell === 'string' ? cell : cell.text;
}

function text(tag: 'h2' | 'p' | 'th', content: string): HTMLElement {
  const made = document.createElement(tag);
  made.textContent = content;
  return made;
}

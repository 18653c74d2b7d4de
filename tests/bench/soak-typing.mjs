import { positionIn } from './soak-editor.mjs';

/** Edits that are made before they are taken back one by one: the plan stays near the sample. */
const DEEPEST = 12;

export function startFrom(seed) {
  state = seed >>> 0;
}

let state = 1;
/** A whole number below `most`: a linear congruence, enough to choose where to type. */
function below(most) {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return Math.floor((state / 2 ** 32) * most);
}

const TYPED = ['7', '0', ' ', 'x', '\n', '"', '{', '}', ' px', '# note', 'place shed\n', 'string 20 px\n', '.', '['];

/** One keystroke or a few: a character typed, one removed, a digit changed, or a line removed. */
function nextEdit(text) {
  const offset = below(text.length + 1);
  switch (below(4)) {
    case 0:
      return { offset, length: 0, put: TYPED[below(TYPED.length)] };
    case 1:
      return { offset, length: Math.min(1, text.length - offset), put: '' };
    case 2: {
      const digits = [...text.matchAll(/\d/g)];
      return { offset: digits[below(digits.length)]?.index ?? 0, length: 1, put: String(below(10)) };
    }
    default: {
      const start = text.lastIndexOf('\n', offset - 1) + 1;
      const end = text.indexOf('\n', start);
      return { offset: start, length: (end < 0 ? text.length : end + 1) - start, put: '' };
    }
  }
}

/** Makes an edit, or takes back the last one that still stands. Gives where it was. */
export async function type(editor, undo) {
  const uris = [...editor.texts.keys()];
  if (undo.length >= DEEPEST || (undo.length > 0 && below(2) === 0)) {
    const { uri, offset, length, put } = undo.pop();
    await editor.edit(uri, offset, length, put);
    return { uri, offset };
  }
  const uri = uris[below(uris.length)];
  const text = editor.texts.get(uri);
  const { offset, length, put } = nextEdit(text);
  undo.push({ uri, offset, length: put.length, put: text.slice(offset, offset + length) });
  await editor.edit(uri, offset, length, put);
  return { uri, offset };
}

/** What an editor asks after a keystroke; some of it each time, some now and then. */
export function ask(editor, { uri, offset }, n) {
  const text = editor.texts.get(uri);
  const position = positionIn(text, Math.min(offset, text.length));
  const range = { start: { line: Math.max(0, position.line - 20), character: 0 }, end: { ...position, character: 0 } };
  for (const each of editor.texts.keys()) editor.ask('textDocument/diagnostic', each);
  editor.ask('textDocument/completion', uri, { position });
  editor.ask('textDocument/hover', uri, { position: positionIn(text, below(text.length + 1)) });
  editor.ask('textDocument/inlayHint', uri, { range });
  editor.ask('textDocument/semanticTokens/full', uri);
  editor.ask('textDocument/codeLens', uri);
  if (n % 3 === 0) editor.ask('textDocument/documentSymbol', uri);
  if (n % 5 === 0) editor.ask('textDocument/codeAction', uri, { range, context: { diagnostics: [] } });
  if (n % 7 === 0) editor.ask('textDocument/foldingRange', uri);
  if (n % 11 === 0) editor.ask('textDocument/references', uri, { position, context: { includeDeclaration: true } });
  if (n % 25 === 0) editor.ask('festoon/drawing', uri, { view: ['wiring', 'run', 'site'][below(3)], position });
  if (n % 50 === 0) editor.ask('textDocument/formatting', uri, { options: { tabSize: 2, insertSpaces: true } });
}

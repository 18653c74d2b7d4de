import { UNPRINTABLE } from './printable.ts';

/**
 * A value as indented JSON, with lists of numbers on one line. Numbers have nine significant digits at most; what is no
 * number becomes null. Nothing unprintable stands raw: what JSON.stringify leaves as it is becomes an escape.
 */
export function renderJson(value: unknown): string {
  return `${write(value, '')}\n`;
}

function write(value: unknown, indent: string): string {
  if (typeof value === 'number') return Number.isFinite(value) ? String(Number(value.toPrecision(9))) : 'null';
  if (value === null || typeof value !== 'object') return escapeRest(JSON.stringify(value ?? null));
  const inner = `${indent}  `;
  if (isList(value)) {
    const list = Array.from(value, (each) => write(each, inner));
    if (list.length === 0) return '[]';
    const flat = typeof value[0] === 'number';
    return flat ? `[${list.join(', ')}]` : `[\n${inner}${list.join(`,\n${inner}`)}\n${indent}]`;
  }
  const members = Object.entries(value).filter(([, member]) => member !== undefined);
  if (members.length === 0) return '{}';
  const lines = members.map(([key, member]) => `${escapeRest(JSON.stringify(key))}: ${write(member, inner)}`);
  return `{\n${inner}${lines.join(`,\n${inner}`)}\n${indent}}`;
}

function isList(value: object): value is ArrayLike<unknown> {
  return Array.isArray(value) || ArrayBuffer.isView(value);
}

function escapeRest(text: string): string {
  return text.replace(UNPRINTABLE, (character) =>
    Array.from({ length: character.length }, (_, index) => escapeUnit(character.charCodeAt(index))).join(''),
  );
}

function escapeUnit(unit: number): string {
  return `\\u${unit.toString(16).padStart(4, '0')}`;
}

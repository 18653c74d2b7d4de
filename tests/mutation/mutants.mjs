import ts from 'typescript';

/**
 * One small wrong change of a source: what stands from `start` to `end` becomes `text`. What is only wording or type is
 * left alone: what a message says is not in question here, but what is reckoned and decided.
 * `within` names the function or method in which it stands.
 * @typedef {{ start: number, end: number, kind: 'expression' | 'block', text: string, what: string, line: number, within: string }} Mutant
 */

const OTHER = {
  '+': ['-'],
  '-': ['+'],
  '*': ['/'],
  '/': ['*'],
  '%': ['*'],
  '**': ['*'],
  '<': ['<=', '>='],
  '<=': ['<', '>'],
  '>': ['>=', '<='],
  '>=': ['>', '<'],
  '===': ['!=='],
  '!==': ['==='],
  '&&': ['||'],
  '||': ['&&'],
  '??': ['&&'],
};
const OTHER_ASSIGNMENT = { '+=': '-=', '-=': '+=', '*=': '/=', '/=': '*=' };
const OTHER_CALL = { min: 'max', max: 'min', some: 'every', every: 'some', floor: 'ceil', ceil: 'floor', sin: 'cos' };

/** Every mutant of a source. @returns {Mutant[]} */
export function mutantsOf(source, path) {
  const file = ts.createSourceFile(path, source, ts.ScriptTarget.Latest, true);
  const found = [];
  const add = (node, text, kind = 'expression') => {
    const start = node.getStart(file);
    const { line } = file.getLineAndCharacterOfPosition(start);
    const what = `${short(node.getText(file))} → ${short(text)}`;
    found.push({ start, end: node.end, kind, text, what, line: line + 1, within: functionAround(node) });
  };
  const visit = (node) => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isInterfaceDeclaration(node)) return;
    changesOf(node, file, add);
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/** The outermost function or method that has a name, empty outside of any. */
function functionAround(node) {
  let name = '';
  for (let each = node; each !== undefined; each = each.parent)
    if (ts.isFunctionDeclaration(each) || ts.isMethodDeclaration(each)) name = each.name?.getText() ?? '';
  return name;
}

const short = (text) => (text.length > 70 ? `${text.slice(0, 67)}...` : text).replace(/\s+/g, ' ');

function changesOf(node, file, add) {
  const text = (part) => part.getText(file);
  if (ts.isBinaryExpression(node)) {
    const sign = text(node.operatorToken);
    const isText = [node.left, node.right].some(
      (side) => ts.isStringLiteralLike(side) || ts.isTemplateExpression(side),
    );
    if (!(sign === '+' && isText))
      for (const other of OTHER[sign] ?? []) add(node, `(${text(node.left)}) ${other} (${text(node.right)})`);
    const other = OTHER_ASSIGNMENT[sign];
    if (other !== undefined) add(node, `${text(node.left)} ${other} (${text(node.right)})`);
  } else if (ts.isConditionalExpression(node)) bothWays(node.condition, add);
  else if (ts.isIfStatement(node)) bothWays(node.expression, add);
  else if (ts.isWhileStatement(node)) add(node.expression, 'false');
  else if (ts.isForStatement(node) && node.condition) add(node.condition, 'false');
  else if (ts.isNumericLiteral(node) && isValue(node)) add(node, Number(node.text) === 0 ? '1' : `(${node.text} + 1)`);
  else if (node.kind === ts.SyntaxKind.TrueKeyword) add(node, 'false');
  else if (node.kind === ts.SyntaxKind.FalseKeyword) add(node, 'true');
  else if (ts.isPrefixUnaryExpression(node)) unary(node, text, add);
  else if (ts.isPostfixUnaryExpression(node)) add(node, text(node.operand) + (text(node).endsWith('++') ? '--' : '++'));
  else if (ts.isCallExpression(node)) call(node, text, add);
  else if (ts.isArrayLiteralExpression(node) && node.elements.length > 0 && !isTarget(node)) add(node, '[]');
  else if (ts.isBlock(node) && node.statements.length > 0) add(node, '{}', 'block');
  else if (ts.isExpressionStatement(node)) add(node, ';', 'block');
}

function bothWays(condition, add) {
  add(condition, 'true');
  add(condition, 'false');
}

function unary(node, text, add) {
  const operand = text(node.operand);
  if (node.operator === ts.SyntaxKind.ExclamationToken) add(node, `(${operand})`);
  if (node.operator === ts.SyntaxKind.MinusToken) add(node, `+(${operand})`);
  if (node.operator === ts.SyntaxKind.PlusPlusToken) add(node, `--${operand}`);
  if (node.operator === ts.SyntaxKind.MinusMinusToken) add(node, `++${operand}`);
}

/** Least for most, any for all; and what is left when nothing is filtered out. */
function call(node, text, add) {
  const method = node.expression;
  if (!ts.isPropertyAccessExpression(method)) return;
  const name = method.name.text;
  const rest = text(node).slice(text(method).length);
  if (Object.hasOwn(OTHER_CALL, name)) add(node, `${text(method).slice(0, -name.length)}${OTHER_CALL[name]}${rest}`);
  if (name === 'filter' && !method.questionDotToken) add(node, text(method.expression));
}

/** A number that is a value, not the name of a property. */
const isValue = ({ parent }) => !ts.isLiteralTypeNode(parent) && !ts.isPropertyAssignment(parent.name ?? parent);

/** `[a, b] = …` is no array but two targets. */
const isTarget = (node) => ts.isBinaryExpression(node.parent) && node.parent.left === node;

/** The source with the chosen mutants in it, each behind a switch: `$m(id)` says whether it is on. */
export function withSwitches(source, chosen) {
  const ordered = [...chosen].sort((a, b) => a.start - b.start || b.end - a.end);
  let next = 0;
  const render = (start, end) => {
    let [at, text] = [start, ''];
    while (next < ordered.length && ordered[next].start < end) {
      const first = ordered[next];
      const same = [];
      while (next < ordered.length && ordered[next].start === first.start && ordered[next].end === first.end)
        same.push(ordered[next++]);
      text += source.slice(at, first.start) + switched(same, render(first.start, first.end));
      at = first.end;
    }
    return text + source.slice(at, end);
  };
  return `import { $m } from 'mutation-switch';\n${render(0, source.length)}`;
}

function switched(same, inner) {
  return same.reduce(
    (text, { id, kind, text: other }) =>
      kind === 'block' ? `{ if (!$m(${id})) {${text}} }` : `($m(${id}) ? ${other} : ${text})`,
    inner,
  );
}

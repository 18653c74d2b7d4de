/** What the extension says in the editor can be translated: each text that a person reads goes through `l10n.t`. */
import ts from 'typescript';
import { expect, it } from 'vitest';
import { projectFiles, readText } from './tree.ts';

/** Names of properties, and of calls by their first argument or second, that a person reads. */
const properties = /^(title|prompt|placeHolder|openLabel|label|description|detail|error)$/;
const calls = /^(show(Information|Warning|Error)Message|TestMessage)$/;
/** Short words with no blank, and values with their unit, are the same in every language. */
const isProse = (text: string): boolean => /\p{Ll}{3,}/u.test(text);

/** The texts in `source` that are shown as they stand, each as `line: text`. */
function untranslated(name: string, source: string): string[] {
  const file = ts.createSourceFile(name, source, ts.ScriptTarget.Latest, true);
  const found: string[] = [];
  const read = (node: ts.Node): void => {
    if (ts.isCallExpression(node) && node.expression.getText() === 'l10n.t') return;
    if (ts.isBinaryExpression(node) && node.operatorToken.kind === ts.SyntaxKind.EqualsEqualsEqualsToken) return;
    const isText =
      ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node) || ts.isTemplateExpression(node);
    if (isText && isProse(ts.isTemplateExpression(node) ? node.head.text : node.text))
      found.push(`${file.getLineAndCharacterOfPosition(node.getStart()).line + 1}: ${node.getText()}`);
    ts.forEachChild(node, read);
  };
  const visit = (node: ts.Node): void => {
    if (ts.isPropertyAssignment(node) && properties.test(node.name.getText())) read(node.initializer);
    else if (ts.isBinaryExpression(node) && /\.(detail|text|severity)$/.test(node.left.getText())) read(node.right);
    else if (ts.isCallExpression(node) || ts.isNewExpression(node)) {
      const name = node.expression.getText().split('.').at(-1) ?? '';
      const [first] = node.arguments ?? [];
      if (calls.test(name) && first !== undefined) read(first);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

it('finds a text that is shown as it stands', () => {
  const source =
    "window.showInformationMessage('Open the plan.');\nask({ title: t ? 'Which plan?' : l10n.t('Plan') });";
  expect(untranslated('x.ts', source)).toEqual(["1: 'Open the plan.'", "2: 'Which plan?'"]);
});

/** Its reasons go to the server, which puts them into findings: those are English everywhere. */
const forServer = 'client/src/file-requests.ts';
const sources = projectFiles().filter((name) => /^client\/src\/.*\.ts$/.test(name) && name !== forServer);

it('has sources to look at', () => expect(sources.length).toBeGreaterThan(10));

it.each(sources)('%s shows no text that cannot be translated', (name) => {
  // The name and its version.
  expect(untranslated(name, readText(name)).filter((text) => !text.includes(': `Festoon '))).toEqual([]);
});

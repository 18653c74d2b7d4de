import type { Statement } from '#grammar/ast.ts';
import { lineStart } from '#grammar/line-start.ts';
import { inNewlinesOf } from '#grammar/newline.ts';
import type { SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { type BoundStatement, bindDeclaration } from '../model/declarations.ts';
import type { Edit, Origin } from '../model/finding.ts';
import type { Plan } from '../model/plan.ts';
import { type FileEdit, fileIn, spanOf } from './file-span.ts';
import { namesOf } from './names.ts';
import { pinningsAt } from './pin-addresses.ts';
import { tokenAt } from './token-at.ts';

/** Another way to write the same display: it changes the text, and no volt of what is computed. */
export interface Refactor {
  readonly title: string;
  readonly kind: 'extract' | 'inline' | 'rewrite';
  readonly edits: readonly FileEdit[];
}

type RunStatement = Extract<BoundStatement, { word: 'run' }>;
type RunLine = RunStatement['block'][number];

/** What can be done with the line at an offset. Each is tried on the whole plan first; what would change it is not offered. */
export function refactorsAt(analysis: Analysis, uri: string, offset: number): Refactor[] {
  const file = fileIn(analysis, uri);
  if (file === undefined) return [];
  const found = runLineAt(file, offset);
  const ofLine =
    found === undefined
      ? []
      : [extractProp(analysis, file, found.run, found.line), inlineProp(analysis, found.line)].flatMap((made) =>
          made === undefined || !keepsDisplay(analysis, made.edits) ? [] : [made],
        );
  const pinned = pinningsAt(analysis, uri, offset).map((made): Made => ({ ...made, kind: 'rewrite' }));
  return [...ofLine, ...pinned].flatMap((made) => {
    const edits = made.edits.flatMap(({ origin, text }) => {
      const span = spanOf(analysis, origin);
      return span === undefined ? [] : [{ ...span, text: inFile(analysis, span.uri, text) }];
    });
    return edits.length === made.edits.length ? [{ ...made, edits }] : [];
  });
}

interface Made {
  readonly title: string;
  readonly kind: Refactor['kind'];
  readonly edits: readonly Edit[];
}

function runLineAt(file: SourceFile, offset: number): { run: RunStatement; line: RunLine } | undefined {
  const token = tokenAt(file, offset);
  if (token === undefined) return undefined;
  for (const run of bindDeclaration(file, token.declaration).statements) {
    if (run.word !== 'run') continue;
    const line = run.block.find(({ line: { start, end } }) => start <= token.span.start && token.span.end <= end);
    if (line !== undefined) return { run, line };
  }
  return undefined;
}

/** The string becomes a prop of its own, right above the run, and the run hangs one copy of it. */
function extractProp({ plan }: Analysis, { uri }: SourceFile, run: RunStatement, line: RunLine): Made | undefined {
  if (line.word === 'lead' || line.word === 'gap' || line.word === 'copies' || line.word === 'cut') return undefined;
  const { declaration, start, end } = line.line;
  const name = freeName(plan, line.name?.text ?? line.word);
  const own = line.name?.origin;
  const text = declaration.text.slice(start, end);
  const nameless =
    own === undefined ? text : `${text.slice(0, own.start - start).trimEnd()}${text.slice(own.end - start)}`;
  const top = declarationTop(run.whole);
  return {
    title: `Make it a prop: ${name}`,
    kind: 'extract',
    edits: [
      { origin: { uri, declaration, start: top, end: top }, text: `prop ${name} {\n  ${nameless}\n}\n\n` },
      {
        origin: line.line,
        text:
          own === undefined || own.declaration.text.slice(own.start, own.end) === name
            ? `copies 1  of ${name}`
            : `copies ${sure(line.name).text}  1  of ${name}`,
      },
    ],
  };
}

/** The comment lines above a run are about the run: the prop goes above them. */
function declarationTop({ declaration }: Origin): number {
  return lineStart(declaration.text, declaration.text.search(/\S/));
}

function freeName(plan: Plan, wanted: string): string {
  if (!plan.props.has(wanted)) return wanted;
  for (let number = 2; ; number++) if (!plan.props.has(`${wanted}-${number}`)) return `${wanted}-${number}`;
}

/** A single copy becomes the lines of its prop; a prop that nothing else uses goes. */
function inlineProp(analysis: Analysis, line: RunLine): Made | undefined {
  if (line.word !== 'copies' || line.fields.count?.value !== 1) return undefined;
  const prop = analysis.plan.props.get(line.fields.prop?.value.name ?? '');
  const statement = prop?.whole.declaration.statements.find(({ span }) => span.start === prop.whole.start);
  if (prop === undefined || statement?.block === undefined || statement.block.statements.length === 0) return undefined;
  const { text } = prop.whole.declaration;
  const name = line.name?.text ?? prop.name;
  const indent = indentOf(line.line.declaration.text, line.line.start);
  const lines = statement.block.statements.map((inner) => lineText(inner, text, name, statement));
  const edits: Edit[] = [{ origin: line.line, text: lines.join(`\n${indent}`) }];
  const alone = prop.whole.declaration.statements.length === 1;
  if (alone && namesOf(analysis).usesOf(prop.origin).length === 1)
    edits.push({ origin: { ...prop.whole, start: 0, end: text.length }, text: '' });
  return { title: `Write out the prop ${prop.name} here`, kind: 'inline', edits };
}

/** The only string of a prop takes the name of the copy, since other lines may go by it. */
function lineText({ items, span }: Statement, text: string, name: string, { block }: Statement): string {
  const whole = text.slice(span.start, span.end);
  const [keyword, second] = items;
  const strings =
    block?.statements.filter(({ items: [first] }) => first?.kind === 'word' && first.text !== 'gap') ?? [];
  if (keyword?.kind !== 'word' || keyword.text === 'gap' || strings.length !== 1 || second?.kind === 'word')
    return whole;
  const cut = keyword.span.end - span.start;
  return `${whole.slice(0, cut)} ${name}  ${whole.slice(cut).trimStart()}`;
}

function inFile(analysis: Analysis, uri: string, text: string): string {
  return inNewlinesOf(fileIn(analysis, uri)?.text ?? '', text);
}

/** Volts and amps that may differ by rounding alone. */
const SAME = 1e-6;

/** The same loads, the same voltages, and nothing new that is wrong. */
function keepsDisplay({ plan, account, findings, preview }: Analysis, edits: readonly Edit[]): boolean {
  const after = preview(edits);
  if (after.findings.length > findings.length) return false;
  const near = (a: number | undefined, b: number | undefined) =>
    a === b || (a !== undefined && b !== undefined && Math.abs(a - b) <= SAME);
  const runs = [...plan.runs.values()].every((run) => {
    const other = after.plan.runs.get(run.name);
    const [a, b] = [account.runs.get(run), other === undefined ? undefined : after.account.runs.get(other)];
    return run.pixelCount === other?.pixelCount && near(a?.amps, b?.amps) && near(a?.least?.volts, b?.least?.volts);
  });
  const feeds = [...plan.feeds.values()].every((feed) => {
    const other = after.plan.feeds.get(feed.name);
    return near(account.feeds.get(feed)?.amps, other === undefined ? undefined : after.account.feeds.get(other)?.amps);
  });
  return runs && feeds;
}

/** The blanks that the line of an offset starts with. */
function indentOf(text: string, offset: number): string {
  return sure(/^[^\S\r\n]*/.exec(text.slice(lineStart(text, offset), offset))?.[0]);
}

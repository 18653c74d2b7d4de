import type { Analysis } from '../analysis/analysis.ts';
import { siteDrawing } from '../drawing/site-drawing.ts';
import { svgFile } from '../drawing/svg.ts';
import { wiringDrawing } from '../drawing/wiring-drawing.ts';
import { finish, type Steps } from '../model/steps.ts';
import { VERSION } from '../model/version.ts';
import { csv } from './csv.ts';
import { htmlReport } from './html.ts';
import { labelSteps } from './labels.ts';
import { paperSteps } from './papers.ts';

export interface ReportFiles {
  /** Texts by file name; the same for the same plan. */
  readonly files: ReadonlyMap<string, string>;
  /** The plan has findings, which stand on the first sheet. */
  readonly isFound: boolean;
}

/** All papers of a display as files of one folder: pages to print, drawings, and each table as CSV. */
export function reportFiles(analysis: Analysis, name: string, date: string | undefined): ReportFiles {
  return finish(reportSteps(analysis, name, date));
}

/** The same in steps. */
export function* reportSteps(analysis: Analysis, name: string, date: string | undefined): Steps<ReportFiles> {
  const { plan, account } = analysis;
  const papers = yield* paperSteps(analysis);
  const head = {
    title: plan.design.title ?? name,
    foot: [`Computed by Festoon ${VERSION} from ${name}`, ...(date === undefined ? [] : [date])].join(', '),
  };
  const files = new Map<string, string>([
    ['report.html', htmlReport(head, papers)],
    ['labels.html', yield* labelSteps(head, plan)],
    ['wiring.svg', svgFile(wiringDrawing(plan, account))],
    ['site.svg', svgFile(siteDrawing(plan))],
  ]);
  for (const { tables } of papers) for (const table of tables) files.set(`${fileName(table.id)}.csv`, csv(table));
  return { files, isFound: papers.some(({ tables }) => tables.some(({ id }) => id === 'findings')) };
}

/** Names in a plan are letters, digits and hyphens; whatever else may come is no part of a file name. */
function fileName(id: string): string {
  return id.replace(/[^\p{L}\p{N}-]/gu, '_').slice(0, 80);
}

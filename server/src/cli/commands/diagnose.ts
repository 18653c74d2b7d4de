import { describeResistor } from '../../model/netlist-elements.ts';
import { type Diagnosis, diagnose as diagnoseIsland } from '../../model/suspects.ts';
import { count, share, volts } from '../../model/texts.ts';
import { cautions } from '../cautions.ts';
import { type Command, type CommandArguments, oneFileOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { openPlan } from '../open-plans.ts';
import { type Line, renderPage, styled, wrap } from '../page.ts';
import { table } from '../table.ts';
import type { OpenPlan } from '../workspace.ts';

export const diagnose: Command = {
  name: 'diagnose',
  summary: 'Names the joint or cable that meter readings speak against',
  help: `
festoon diagnose [OPTIONS] FILE

Takes the "measured" lines of a plan, compares each with what is computed for the look that was lit, and looks for the
one contact, fuse or conductor whose extra resistance explains all readings best. It says how sure that is: readings
at several places, and near the suspected joint, make it surer. Joints inside a string are not told apart.

  --root DIR  The folder that "use" lines may not leave.

Exit codes: 0 told; 2 the command line or the file cannot be used; 3 an error in Festoon itself.
`,
  options: { root: { type: 'string' } },
  run: runDiagnose,
};

function runDiagnose(args: CommandArguments, io: Io): Exit {
  const opened = openPlan(args, io, oneFileOf(args));
  if (opened === undefined) return EXIT.usage;
  const width = io.columns ?? 100;
  const found = opened.analysis.account.islands.flatMap(
    (island) => diagnoseIsland(island, opened.analysis.plan.design) ?? [],
  );
  const lines =
    found.length === 0
      ? [['No readings stand in this plan. Write: measured eaves.end  11.31 V  under full-white at 50 %']]
      : [...readings(opened, width), [], ...found.flatMap((each) => verdict(each, opened, width))];
  io.out(renderPage([...lines, [], ...cautions(width)], io.colour));
  return EXIT.clean;
}

function readings({ analysis }: OpenPlan, width: number): Line[] {
  const rows = analysis.account.measured.map(({ measurement, computedVolts }) => [
    measurement.tap.text,
    volts(measurement.volts),
    volts(computedVolts),
    volts(measurement.volts - computedVolts),
    `${measurement.look} at ${share(measurement.brightness)}`,
    measurement.date ?? '',
  ]);
  const right = (title: string) => ({ title, align: 'right' as const });
  return table(
    [{ title: 'where' }, right('meter'), right('computed'), right('differs'), { title: 'lit' }, { title: 'on' }],
    rows,
    width,
  );
}

function verdict({ measurements, nothingWrong, suspects }: Diagnosis, { analysis }: OpenPlan, width: number): Line[] {
  const runs = [...new Set(measurements.map(({ tap }) => tap.run.name))].join(', ');
  const head = `${count(measurements.length, 'reading')} on ${runs}: `;
  const [best] = suspects;
  if (best === undefined || nothingWrong >= 0.5) {
    return wrap(`${head}nothing speaks against the joints (${share(nothingWrong)} sure).`, width).map(
      (text): Line => [text],
    );
  }
  const rows = suspects
    .slice(0, 6)
    .map(({ role, extraOhms, odds }) => [
      share(odds),
      extraOhms > 10 ? 'open' : `${Number((extraOhms * 1000).toPrecision(3))} mohm more`,
      describeResistor(role, analysis.plan.design.units).text,
    ]);
  return [
    ...wrap(
      `${head}one of these joints may be bad. Measure across it while it is lit. That nothing is wrong: ${share(nothingWrong)}.`,
      width,
    ).map((text): Line => [styled(text, 'strong')]),
    ...table([{ align: 'right' }, { align: 'right' }, {}], rows, width),
  ];
}

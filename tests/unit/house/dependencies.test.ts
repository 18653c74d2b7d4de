/** The dependency rule holds over the tree, and each of its parts is shown to catch a planted violation. */
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { cruise, type ICruiseOptions, type ICruiseResult, type IFlattenedRuleSet } from 'dependency-cruiser';
import { describe, expect, it } from 'vitest';
import { root } from './tree.ts';

const { forbidden, options } = createRequire(import.meta.url)(join(root, '.dependency-cruiser.cjs')) as {
  forbidden: NonNullable<IFlattenedRuleSet['forbidden']>;
  options: ICruiseOptions;
};
const product = ['grammar/src', 'server/src', 'client/src'];

async function cruiseFrom(baseDir: string): Promise<ICruiseResult> {
  const rules = { ...options, ruleSet: { forbidden }, validate: true, baseDir };
  const { output } = await cruise(product, rules);
  if (typeof output === 'string') throw new Error(output);
  return output;
}

const found = ({ summary }: ICruiseResult) =>
  summary.violations.map(({ rule, from }) => `${rule.name}: ${from}`).sort();

describe('dependency rule', () => {
  it('holds over the whole tree', async () => {
    const result = await cruiseFrom(root);
    expect(found(result)).toEqual([]);

    // A cruise that sees nothing finds nothing: a newer TypeScript once hid every import from the tool.
    const local = result.modules.filter(({ source }) => product.some((folder) => source.startsWith(folder)));
    const imports = local.flatMap(({ dependencies }) => dependencies);
    const typeOnly = imports.filter(({ dependencyTypes }) => dependencyTypes.includes('type-only'));
    const acrossPackages = imports.filter(({ module, couldNotResolve }) => module.startsWith('#') && !couldNotResolve);
    expect(local.length).toBeGreaterThanOrEqual(100);
    expect(imports.length).toBeGreaterThanOrEqual(300);
    expect(typeOnly.length).toBeGreaterThanOrEqual(50);
    expect(acrossPackages.length).toBeGreaterThanOrEqual(20);
  });

  it('reports every planted violation, and nothing else', async () => {
    const planted = join(root, 'tests/unit/house/planted');
    expect(existsSync(planted)).toBe(true);
    const expected = [
      'analysis-stays-in-its-layer: server/src/analysis/knows-a-feature.ts',
      'checks-stays-in-its-layer: server/src/checks/knows-the-host.ts',
      'cli-stays-in-its-layer: server/src/cli/speaks-the-protocol.ts',
      'client-stays-in-its-layer: client/src/knows-the-server.ts',
      'drawing-stays-in-its-layer: server/src/drawing/reads-a-file.ts',
      'electrics-stays-in-its-layer: server/src/electrics/reads-a-file.ts',
      'every-file-has-a-layer: server/src/attic/has-no-layer.ts',
      'grammar-stays-in-its-layer: grammar/src/knows-the-plan.ts',
      'ide-stays-in-its-layer: server/src/ide/speaks-the-protocol.ts',
      'lsp-stays-in-its-layer: server/src/lsp/imports-nothing-real.ts',
      'lsp-stays-in-its-layer: server/src/lsp/knows-the-command-line.ts',
      'lsp-stays-in-its-layer: server/src/lsp/leans-on-a-test.ts',
      'model-stays-in-its-layer: server/src/model/knows-a-check.ts',
      'no-cycles: server/src/model/comes-back.ts',
      'nothing-unresolved: server/src/lsp/imports-nothing-real.ts',
      'papers-stays-in-its-layer: server/src/papers/reads-a-file.ts',
      'planning-stays-in-its-layer: server/src/planning/knows-the-host.ts',
      'product-needs-no-tests: server/src/lsp/leans-on-a-test.ts',
      'review-stays-in-its-layer: server/src/review/reads-a-file.ts',
    ];
    expect(found(await cruiseFrom(planted))).toEqual(expected);
    const rulesShown = new Set(expected.map((line) => line.split(':')[0]));
    expect(forbidden.map(({ name }) => name).filter((name) => !rulesShown.has(name ?? ''))).toEqual([]);
  });
});

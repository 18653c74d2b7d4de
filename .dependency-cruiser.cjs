/**
 * The dependency rule: each layer may use itself and the layers below it, and outside packages by name.
 *
 *   electrics, grammar  <-  model  <-  checks  <-  planning  <-  analysis  <-  ide, drawing  <-  papers  <-  review  <-  lsp, cli        client
 *
 * tests/unit/house/dependencies.test.ts runs these rules over the tree and over planted violations of each.
 */
const layers = {
  electrics: { home: '^server/src/electrics/', uses: [], packages: [] },
  grammar: { home: '^grammar/src/', uses: [], packages: ['chevrotain'] },
  model: { home: '^server/src/model/', uses: ['grammar', 'electrics'], packages: ['fastest-levenshtein'] },
  checks: { home: '^server/src/checks/', uses: ['grammar', 'electrics', 'model'], packages: ['fastest-levenshtein'] },
  planning: {
    home: '^server/src/planning/',
    uses: ['grammar', 'electrics', 'model', 'checks'],
    packages: [],
  },
  analysis: {
    home: '^server/src/analysis/',
    uses: ['grammar', 'electrics', 'model', 'checks', 'planning'],
    packages: ['vscode-uri'],
  },
  ide: {
    home: '^server/src/ide/',
    uses: ['grammar', 'electrics', 'model', 'checks', 'planning', 'analysis'],
    packages: ['fastest-levenshtein'],
  },
  drawing: {
    home: '^server/src/drawing/',
    uses: ['grammar', 'electrics', 'model', 'checks', 'analysis'],
    packages: [],
  },
  papers: {
    home: '^server/src/papers/',
    uses: ['grammar', 'electrics', 'model', 'checks', 'analysis', 'drawing'],
    packages: ['qrcode-generator'],
  },
  review: {
    home: '^server/src/review/',
    uses: ['grammar', 'model', 'checks', 'analysis', 'papers'],
    packages: [],
  },
  lsp: {
    home: '^server/src/lsp/',
    uses: ['grammar', 'electrics', 'model', 'checks', 'planning', 'analysis', 'ide', 'drawing', 'papers', 'review'],
    packages: ['vscode-languageserver', 'vscode-languageserver-textdocument', 'vscode-uri'],
    node: true,
  },
  cli: {
    home: '^server/src/cli/',
    uses: ['grammar', 'electrics', 'model', 'checks', 'planning', 'analysis', 'ide', 'drawing', 'papers', 'review'],
    packages: ['vscode-uri'],
    node: true,
  },
  client: { home: '^client/src/', uses: [], packages: ['vscode-languageclient', 'vscode'] },
};

const product = '^(grammar|server|client)/src/';
const anyOf = (patterns) => `(${patterns.join('|')})`;

/** What a layer imports that is neither its own, nor a layer below it, nor a package named for it. */
function stayInLayer([name, { home, uses, packages, node = false }]) {
  const allowed = [
    home,
    ...uses.map((layer) => layers[layer].home),
    ...packages.map((pkg) => `^(node_modules/)?${pkg}(/|$)`),
  ];
  return {
    name: `${name}-stays-in-its-layer`,
    comment: `${name} may use: ${[...uses, ...packages].join(', ') || 'nothing but itself'}`,
    severity: 'error',
    from: { path: home },
    to: { pathNot: anyOf(allowed), ...(node ? { dependencyTypesNot: ['core'] } : {}) },
  };
}

module.exports = {
  forbidden: [
    ...Object.entries(layers).map(stayInLayer),
    { name: 'no-cycles', severity: 'error', from: { path: product }, to: { circular: true } },
    {
      name: 'nothing-unresolved',
      severity: 'error',
      from: { path: product, pathNot: '^client/src/' },
      to: { couldNotResolve: true },
    },
    { name: 'product-needs-no-tests', severity: 'error', from: { path: product }, to: { path: '^tests/' } },
    {
      name: 'every-file-has-a-layer',
      severity: 'error',
      from: { path: product, pathNot: anyOf(Object.values(layers).map(({ home }) => home)) },
      to: {},
    },
  ],
  options: {
    doNotFollow: { path: '(^|/)node_modules/' },
    exclude: { path: '(^|/)(dist|\\.build|\\.cache)/' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      extensions: ['.ts', '.js', '.mjs', '.json'],
      conditionNames: ['import', 'node', 'types', 'default'],
      exportsFields: ['exports'],
    },
  },
};

/** All that the protocol's library exports, as one object: see `oneProtocol` in bundles.mjs. */
// biome-ignore lint/performance/noBarrelFile: the bundler would make a copy of all this for each file that imports it.
export * from 'vscode-languageserver';

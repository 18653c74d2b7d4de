/**
 * Mistakes that nothing can notice, each with the reason: they are counted apart. `within` is the function in which the
 * place stands (empty: the file itself), `what` lists the changes as `run.mjs` prints them.
 * @type {{ file: string, within: string, what: string[], reason: string }[]}
 */
export const EQUIVALENT = [];

/** A snippet as it is left by a person who tabs through it and changes nothing. */
export function filled(snippet: string): string {
  return snippet
    .replace(/\$\{\d+\|([^|]*)\|\}/g, (_, choices: string) => choices.split(',')[0] ?? '')
    .replace(/\$\{\d+:((?:[^}\\]|\\.)*)\}/g, '$1')
    .replace(/\$0/, '')
    .replace(/\\([\\$}])/g, '$1');
}

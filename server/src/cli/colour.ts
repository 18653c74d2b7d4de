/** Colour is for terminals that can show it, and never where NO_COLOR is set to anything. */
export function wantsColour(isTerminal: boolean, env: Readonly<Record<string, string | undefined>>): boolean {
  return isTerminal && (env['NO_COLOR'] ?? '') === '' && env['TERM'] !== 'dumb';
}

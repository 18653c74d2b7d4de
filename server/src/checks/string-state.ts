import type { StringAccount } from '../model/account.ts';

/** Nothing reaches this string: neither its start (NaN where no supply is joined) nor its lowest pixel has half a volt. */
export function isDark(string: StringAccount): boolean {
  return !(string.startVolts >= 0.5) && string.least.volts < 0.5;
}

/** Some pixel of the string is below the lockout voltage of its converter, though power does reach the string. */
export function isCollapsed(string: StringAccount): boolean {
  const { converter } = string.piece.part;
  return converter !== undefined && !isDark(string) && string.least.volts < converter.lockout;
}

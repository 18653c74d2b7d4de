/** How figures are written for a person: three significant digits, a space before the unit, never a long tail. */

export function volts(value: number): string {
  // No minus in front of a zero.
  return `${value.toFixed(2).replace(/^-(?=0\.00$)/, '')} V`;
}

export function amps(value: number): string {
  const size = Math.abs(value);
  if (size < 0.9995) return `${Math.round(value * 1000)} mA`;
  return `${size < 99.95 ? value.toFixed(size < 9.995 ? 2 : 1) : value.toFixed(0)} A`;
}

export function watts(value: number): string {
  return `${Math.abs(value) < 9.95 ? value.toFixed(1).replace(/^-(?=0\.0$)/, '') : value.toFixed(0)} W`;
}

export function share(value: number): string {
  return `${Math.round(value * 100)} %`;
}

export type LengthUnits = 'metric' | 'imperial';

/** A share beside its limit: with a decimal where both would read the same. */
export function shareBeside(value: number, limit: number): string {
  return share(value) === share(limit) ? `${(value * 100).toFixed(1)} %` : share(value);
}

/** A length in the units that the plan is written in. */
export function metres(value: number, units: LengthUnits): string {
  if (units === 'metric')
    return value < 1
      ? `${Number((value * 1000).toPrecision(3))} mm`
      : `${Number(value.toFixed(value < 100 ? 2 : 0))} m`;
  const inches = value / 0.0254;
  if (inches < 24) return `${Number(inches.toFixed(1))} in`;
  const feet = Math.floor(inches / 12 + 1e-9);
  const rest = Math.round(inches - feet * 12);
  if (rest === 0) return `${feet} ft`;
  return rest === 12 ? `${feet + 1} ft` : `${feet} ft ${rest} in`;
}

/** A fuse or other rating as it is printed on the part. */
export function rating(value: number): string {
  return `${Number(value.toPrecision(4))} A`;
}

/** Behind the name of a cable: " x 2" where two lie side by side, nothing for one. */
export function doubledText(parallel: number): string {
  return parallel === 1 ? '' : ` x ${parallel}`;
}

/** With its article: "a run", "an outline". */
export function withArticle(word: string): string {
  return `${/^[aeiou]/.test(word) && !/^uni/.test(word) ? 'an' : 'a'} ${word}`;
}

export function count(value: number, one: string, many = `${one}s`): string {
  return `${grouped(value)} ${value === 1 ? one : many}`;
}

/** Bits a second, as links are sold: "22.5 Mbps". */
export function bitRate(value: number): string {
  const [size, unit] = value >= 999_500_000 ? [1e9, 'Gbps'] : value >= 999_500 ? [1e6, 'Mbps'] : [1000, 'kbps'];
  return `${Number((value / size).toPrecision(3))} ${unit}`;
}

/** A whole number with its thousands apart; most have none, and need nothing of what knows the world's languages. */
export function grouped(value: number): string {
  return Number.isInteger(value) && Math.abs(value) < 1000 ? String(value) : value.toLocaleString('en');
}

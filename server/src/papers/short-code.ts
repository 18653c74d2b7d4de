import { sure } from '#grammar/sure.ts';

/** Digits that are hard to mistake for one another, read aloud or written with a marker on a wet cable. */
const DIGITS = '234679ACDEFGHJKMNPQRTVWXYZ';
const SHORTEST = 4;

/**
 * A short code for each key, for labels. It depends on the key alone, so that a cable keeps its code from year to year
 * whatever is added around it; only keys whose codes would be the same get a longer one.
 */
export function shortCodes(keys: readonly string[]): Map<string, string> {
  const codes = new Map<string, string>();
  let open = [...new Set(keys)];
  for (let length = SHORTEST; open.length > 0; length++) {
    const byCode = new Map<string, string[]>();
    for (const key of open) {
      const code = codeOf(key, length);
      byCode.set(code, [...(byCode.get(code) ?? []), key]);
    }
    open = [];
    for (const [code, same] of byCode) {
      const [only] = same;
      if (same.length === 1 && only !== undefined) codes.set(only, code);
      else open.push(...same);
    }
  }
  return codes;
}

function codeOf(key: string, length: number): string {
  let rest = hash(key);
  let code = '';
  for (let place = 0; place < length; place++) {
    code += sure(DIGITS[Number(rest % BigInt(DIGITS.length))]);
    rest /= BigInt(DIGITS.length);
  }
  return code;
}

/** FNV-1a over UTF-16 units, 64 bits: small, and spread evenly enough for names. */
function hash(text: string): bigint {
  let value = 0xcbf29ce484222325n;
  for (let index = 0; index < text.length; index++) {
    value ^= BigInt(text.charCodeAt(index));
    value = BigInt.asUintN(64, value * 0x100000001b3n);
  }
  return value;
}

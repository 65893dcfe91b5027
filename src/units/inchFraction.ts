import { type DecimalMark, decimalNumber } from './decimalNumber.js';

const fraction = /^(?:(\d+)(?: - |[ -]))?(\d+)[/\u2044](\d+)$/;

/**
 * Inches that `text` writes as decimal number or with a fraction: `1/8`, `-1 3/16`, `1-1/2`, `1½`, `0.125`; a trailing
 * `"` or `in` is allowed, one sign in front counts for all of it. Null where it is none of these, or divides by zero.
 */
export function inchFraction(text: string, mark: DecimalMark): number | null {
    const bare = text.replace(/ ?("|in\.?|inch(es)?)$/i, '');
    const decimal = decimalNumber(bare, mark);
    if (decimal !== null) return decimal;
    // A vulgar fraction such as ½ becomes 1⁄2; the space keeps 1½ from becoming 11⁄2.
    const spelled = bare.replace(/[\u00bc-\u00be\u2150-\u215e]/g, (sign) => ` ${sign.normalize('NFKC')}`);
    const [, sign, rest] = /^([+-]?) *(.+)$/s.exec(spelled) ?? [];
    const [, whole, above, below] = fraction.exec(rest ?? '') ?? [];
    if (above === undefined || Number(below) === 0) return null;
    const value = Number(whole ?? 0) + Number(above) / Number(below);
    return sign === '-' ? -value : value;
}

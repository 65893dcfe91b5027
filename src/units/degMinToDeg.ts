import { type DecimalMark, decimalNumber } from './decimalNumber.js';

const signed = /^([+-]?) ?(.+)$/;

const degrees = String.raw`(?<deg>\d+) ?(?:°|degrees?|deg\.?|d)`;
const minutes = String.raw`(?<min>\d+(?:[.,]\d+)?) ?(?:'|minutes?|min\.?|m)`;
const seconds = String.raw`(?<sec>\d+(?:[.,]\d+)?) ?(?:"|seconds?|sec\.?|s)`;

/** With their signs behind them, any part may be missing; between space or colon the first is degrees. */
const forms = [
    new RegExp(`^(?:${degrees})? ?(?:${minutes})? ?(?:${seconds})?$`, 'i'),
    new RegExp(`^${degrees} ?(?<min>\\d+(?:[.,]\\d+)?)$`, 'i'),
    /^(?<deg>\d+)(?:(?: ?: ?| )(?<min>\d+(?:[.,]\d+)?))?$/,
    /^(?<deg>\d+)(?: ?: ?| )(?<min>\d+)(?: ?: ?| )(?<sec>\d+(?:[.,]\d+)?)$/,
];

/**
 * Decimal degrees of degrees, minutes and seconds as people write them: `-1°30'`, `-1 30`, `-1d30m`, `1:30`, `1°30'30"`,
 * `45'`, `-2`. One sign in front counts for all of it, so `-0°30'` is -0.5. Only the last part may have decimals, behind
 * `mark`. Null where `text` is none of these, or minutes or seconds reach 60. 1 degree = 60 minutes = 3600 seconds
 * (SI Brochure, 9th edition, table 8).
 */
export function degMinToDeg(text: string, mark: DecimalMark): number | null {
    const [, sign, rest] = signed.exec(text) ?? [];
    if (rest === undefined) return null;
    const parts = forms.map((form) => form.exec(rest)?.groups).find((groups) => groups !== undefined);
    if (parts === undefined) return null;
    const values = ['deg', 'min', 'sec'].map((name) => decimalNumber(parts[name] ?? '0', mark));
    const [deg, min, sec] = values;
    if (deg == null || min == null || sec == null || min >= 60 || sec >= 60) return null;
    if (parts.sec !== undefined && !Number.isInteger(min)) return null;
    const value = deg + (60 * min + sec) / 3600;
    return sign === '-' ? -value : value;
}

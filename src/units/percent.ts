/** A share of 1 in per cent with `digits` decimals: 73 %. */
export const percent = (share: number, digits = 0) => `${(100 * share).toFixed(digits)} %`;

/** A share of 1 in per cent, for a column; null for none. */
export const hundred = (share: number | null): number | null => (share === null ? null : 100 * share);

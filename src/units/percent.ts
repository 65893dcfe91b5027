/** A share of 1 in per cent with `digits` decimals: 73 %. */
export function percent(share: number, digits = 0): string {
    return `${(100 * share).toFixed(digits)} %`;
}

/** A share of 1 in per cent, for a column; null for none. */
export function hundred(share: number | null): number | null {
    return share === null ? null : 100 * share;
}

/** `value` with at most `digits` decimals, no trailing zeros and no minus zero: 2.5, 3, -0.25. */
export function plain(value: number, digits: number): string {
    return String(Number(value.toFixed(digits)) + 0);
}

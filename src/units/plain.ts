/** `value` with at most `digits` decimals, no trailing zeros and no minus zero: 2.5, 3, -0.25. */
export const plain = (value: number, digits: number) => String(Number(value.toFixed(digits)) + 0);

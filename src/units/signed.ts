/** `value` with `digits` decimals and its sign, zero without one. */
export function signed(value: number, digits: number): string {
    const text = value.toFixed(digits);
    if (Number(text) === 0) return text.replace('-', '');
    return value > 0 ? `+${text}` : text;
}

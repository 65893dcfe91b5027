/** `0.97`, and beyond what two decimals tell `under 0.01` or `over 0.99`; null as a dash. */
export function probabilityCell(p: number | null): string {
    if (p === null) return '–';
    if (p > 0.995) return 'over 0.99';
    return p < 0.005 ? 'under 0.01' : p.toFixed(2);
}

/** `of 0.97`, and beyond what two decimals tell `under 0.01` or `over 0.99`. */
export function probabilityWords(p: number): string {
    const text = probabilityCell(p);
    return /^\d/.test(text) ? `of ${text}` : text;
}

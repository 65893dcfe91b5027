/** `of 0.97`, and beyond what two decimals tell `under 0.01` or `over 0.99`. */
export function probabilityWords(p: number): string {
    if (p > 0.995) return 'over 0.99';
    return p < 0.005 ? 'under 0.01' : `of ${p.toFixed(2)}`;
}

/** The character that stands before the decimals. */
export type DecimalMark = '.' | ',';

const patterns: Record<DecimalMark, RegExp> = {
    '.': /^[+-]? ?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i,
    ',': /^[+-]? ?(\d+(,\d*)?|,\d+)(e[+-]?\d+)?$/i,
};

/** The number that `text` writes with `mark` before its decimals, without thousands separators; null where it is none. */
export function decimalNumber(text: string, mark: DecimalMark): number | null {
    if (!patterns[mark].test(text)) return null;
    const value = Number(text.replace(' ', '').replace(',', '.'));
    return Number.isFinite(value) ? value : null;
}

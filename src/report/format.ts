/** `value` with `digits` decimals and a true minus sign; null as a dash. */
export function fixed(value: number | null, digits: number): string {
    if (value === null) return '–';
    const text = value.toFixed(digits);
    return (/^-0\.?0*$/.test(text) ? text.slice(1) : text).replace('-', '−');
}

/** Whole number with thousands separated by commas. */
export const whole = (value: number) => String(value).replace(/\B(?=(\d{3})+$)/g, ',');

/** `1 move`, `2 moves`. */
export function counted(value: number, one: string, many = `${one}s`): string {
    return `${whole(value)} ${value === 1 ? one : many}`;
}

/** `A`, `A and B`, `A, B and C`; of more than `most`, `A, B and 3 more`. */
export function listed(words: readonly string[], most = words.length): string {
    if (words.length > most)
        return `${words.slice(0, most).join(', ')} and ${whole(words.length - most)} more`;
    return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** A share in per cent, whole; a dash for none. */
export const percent = (share: number | null) => (share === null ? '–' : `${fixed(100 * share, 0)} %`);

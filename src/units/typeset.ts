/** `text` with true signs: `−1` for `-1`, `±` for `+-`. Names with hyphens between letters and digits stay. */
export function typeset(text: string): string {
    return text.replaceAll('+-', '±').replace(/(?<=^|[\s(])-(?=[\d.])/g, '−');
}

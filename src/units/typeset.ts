/** `text` with true signs: `−1` for `-1`, `±` for `+-`. Names with hyphens between letters and digits stay. */
export const typeset = (text: string) => text.replaceAll('+-', '±').replace(/(?<=^|[\s(])-(?=[\d.])/g, '−');

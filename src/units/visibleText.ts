/**
 * What nobody sees in a name, as the inside of a character class: controls and line ends, soft hyphens, spaces without width, marks that
 * turn the direction of text. Two names may then look alike and differ, or one steer a terminal or a page.
 */
export const unseenCharacters = String.raw`\u0000-\u001f\u007f-\u009f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb`;

const unseen = new RegExp(`[${unseenCharacters}]`, 'gu');

const hexOf = (character: string, digits: number) =>
    character.charCodeAt(0).toString(16).padStart(digits, '0');

/** `text` with characters that nobody sees as escapes: `\x1b`, `\u2028`. */
export function visibleText(text: string): string {
    return text.replace(unseen, (one) => (one < '\u0100' ? `\\x${hexOf(one, 2)}` : `\\u${hexOf(one, 4)}`));
}

/** `value` as JSON in which such characters stand as escapes of JSON: whoever reads it gets them, no terminal does. */
export function visibleJson(value: unknown): string {
    return JSON.stringify(value).replace(unseen, (one) => `\\u${hexOf(one, 4)}`);
}

/** The beginning and the end of a text of more than `most` characters. */
export function shortened(text: string, most: number): string {
    const characters = [...text];
    if (characters.length <= most) return text;
    const end = Math.floor((most - 1) / 3);
    return [...characters.slice(0, most - 1 - end), '…', ...characters.slice(characters.length - end)].join(
        '',
    );
}

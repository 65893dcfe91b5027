/** A piece of the user's text inside a sentence. */
export const quoted = (text: string) => `"${text.length > 60 ? `${text.slice(0, 60)}...` : text}"`;

/** A path as {@link shellWord}; one that begins like an option from the folder. */
export const shellPath = (path: string) => shellWord(path.startsWith('-') ? `./${path}` : path);

/** `text` as one word of a shell's command line, so that a hint can be copied as it stands. */
export function shellWord(text: string): string {
    if (/^[\w@%+=:,./-]+$/.test(text)) return text;
    if (!/\p{Cc}/u.test(text)) return `'${text.replaceAll("'", "'\\''")}'`;
    const escaped = text.replace(/[\\']/g, '\\$&').replace(/\p{Cc}/gu, (sign) => {
        const bytes = [...Buffer.from(sign)].map((byte) => `\\x${byte.toString(16).padStart(2, '0')}`);
        return bytes.join('');
    });
    return `$'${escaped}'`;
}

/** Names behind commas, no more than `most`. */
export function listed(names: readonly string[], most = 12): string {
    const shown = names.slice(0, most);
    return names.length > shown.length
        ? `${shown.join(', ')} and ${names.length - shown.length} more`
        : shown.join(', ');
}

/** A number and the noun that goes with it. */
export const counted = (count: number, one: string, many = `${one}s`) =>
    `${count} ${count === 1 ? one : many}`;

/** Where a row came from. */
export interface Place {
    file: string | null;
    line: number | null;
}

/** ` (FILE line LINE)`, nothing where no file tells. */
export const at = ({ file, line }: Place) => (file === null ? '' : ` (${file} line ${line})`);

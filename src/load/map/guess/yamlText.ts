import type { Answer } from './valueGuess.js';

/** `text` as a YAML scalar, in quotation marks where it could mean something else. */
export function scalar(text: string): string {
    const isPlain = /^[\p{L}_][\p{L}\p{N}_.-]*( [\p{L}\p{N}_.-]+)*$/u.test(text);
    return isPlain && !/^(true|false|null|yes|no|on|off|y|n)$/i.test(text) ? text : JSON.stringify(text);
}

/** `{VL: FL, VR: FR}` */
export function flow(words: Record<string, string>): string {
    const pairs = Object.entries(words).map(([word, value]) => `${scalar(word)}: ${scalar(value)}`);
    return `{ ${pairs.join(', ')} }`;
}

/** Comments of one map stand below each other where the lines are short. */
const COMMENT_COLUMN = 44;

/** One line; the comment may not break it. */
export function line(indent: number, text: string, comment: string | null = null): string {
    const start = `${'  '.repeat(indent)}${text}`;
    if (comment === null) return start;
    return `${start.padEnd(COMMENT_COLUMN)} # ${comment.replace(/[\s\p{Cc}]+/gu, ' ')}`;
}

/** Our column and what it is made of, one key a line. */
export interface GuessedColumn {
    name: string;
    keys: [key: string, answer: Answer][];
}

/** An answer that needs no comment. */
export const sure = (value: string): Answer => ({ value: scalar(value), comment: null });

/** The lines of one column: a single one where it is only their column. */
export function columnLines({ name, keys }: GuessedColumn): string[] {
    const [[key, { value, comment }]] = keys as [[string, Answer]];
    if (keys.length === 1 && key === 'column') return [line(1, `${name}: ${value}`, comment)];
    return [
        line(1, `${name}:`),
        ...keys.map(([one, answer]) => line(2, `${one}: ${answer.value}`, answer.comment)),
    ];
}

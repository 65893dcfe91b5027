import type { ColumnSource } from '../../contracts/map.js';
import { patternUnmatched } from '../../errors/mapMessages.js';
import { linearPattern } from './linearPattern.js';

/** The text that counts of one or several cells, the empty text where blank, and their column for telling what is wrong. */
export interface Taken {
    text: string;
    /** Null for a constant. */
    at: string | null;
}

/** A value that cannot be taken: their column and why. */
export class Unfit {
    readonly at: string | null;
    readonly reason: string;

    constructor(at: string | null, reason: string) {
        this.at = at;
        this.reason = reason;
    }
}

/** Each word as it is written and in small letters; the first counts. */
function spellings(words: Record<string, string>): Map<string, string> {
    const entries = Object.entries(words).map(([word, value]) => [word.trim(), value] as const);
    return new Map([...entries.map(([word, value]) => [word.toLowerCase(), value] as const), ...entries]);
}

/** Applies pattern and words of the source of our column `name`. */
export function cellText(name: string, source: ColumnSource): (taken: Taken) => Taken | Unfit {
    const { pattern, unmatched } = source;
    const expression = pattern === undefined ? null : linearPattern(pattern);
    const words = spellings(source.words ?? {});
    return ({ text, at }) => {
        let part = text;
        if (expression !== null && text !== '') {
            const found = expression.exec(text);
            if (found === null && unmatched === 'reject') {
                return new Unfit(at, patternUnmatched(text, pattern!));
            }
            part = found?.groups?.[name]?.trim() ?? '';
        }
        return { text: words.get(part) ?? words.get(part.toLowerCase()) ?? part, at };
    };
}

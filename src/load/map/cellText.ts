import type { ColumnSource } from '../../contracts/map.js';

/** What stands at one place of a row of theirs: the text that counts, blank as the empty text, and the cells behind it. */
export interface Taken {
    text: string;
    /** Their column, for telling where something is wrong; null for a constant. */
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

/** Their word for `text`, exactly or but for case; undefined where there is none. */
function wordFor(words: ReadonlyMap<string, string>, text: string): string | undefined {
    return words.get(text) ?? words.get(text.toLowerCase());
}

/** Both spellings of each word, those as written first. */
function wordMap(words: Record<string, string>): Map<string, string> {
    const entries = Object.entries(words);
    return new Map([
        ...entries.map(([word, value]) => [word.trim().toLowerCase(), value] as const),
        ...entries.map(([word, value]) => [word.trim(), value] as const),
    ]);
}

/** Turns a cell into the text that counts: blanks, pattern and words of the map applied. */
export function cellReader(
    name: string,
    { pattern, unmatched, words }: ColumnSource,
    blanks: readonly string[],
    noMatch: (pattern: string) => string,
): (taken: Taken) => Taken | Unfit {
    const isBlank = new Set(blanks.map((text) => text.trim()));
    const expression = pattern === undefined ? null : new RegExp(pattern, 'u');
    const known = words === undefined ? null : wordMap(words);
    return ({ text, at }) => {
        if (text === '' || isBlank.has(text)) return { text: '', at };
        let part = text;
        if (expression !== null) {
            const found = expression.exec(text);
            if (found === null) {
                return unmatched === 'blank' ? { text: '', at } : new Unfit(at, noMatch(pattern!));
            }
            part = (found.groups?.[name] ?? '').trim();
        }
        return { text: (known === null ? undefined : wordFor(known, part)) ?? part, at };
    };
}

import {
    axleCells,
    axleWords,
    capitalCorners,
    columnWords,
    cornerWords,
    nominalWords,
    phaseWords,
    sideCells,
    sideWords,
    steeredWords,
    totalWords,
    unitWords,
    wheelWords,
    yesNoWords,
} from './tradeWords.js';

interface Token {
    text: string;
    /** Small letters, no accents. */
    plain: string;
    start: number;
    end: number;
}

/** A stretch of a column name that stands for a word of unfold, and our value. */
interface Span {
    part: 'corner' | 'axle' | 'side' | 'phase';
    value: string;
    start: number;
    end: number;
}

/** What a column name says. */
export interface HeaderWords {
    name: string;
    /** Our column, or `date`, `time`; null where no word is known. */
    role: string | null;
    spans: Span[];
    /** Toe of the axle, or of a wheel; null where the name does not say. */
    toe: 'total' | 'wheel' | null;
    unit: string | null;
    isNominal: boolean;
    isSteered: boolean;
}

/** Small letters without accents. */
function plainWord(text: string): string {
    return text.normalize('NFD').replace(/\p{M}/gu, '').replaceAll('ß', 'ss').toLowerCase();
}

function tokensOf(name: string): Token[] {
    return [...name.matchAll(/\p{Lu}{2,}(?!\p{Ll})|\p{Lu}?[\p{Ll}\p{Lm}\p{Lo}]+|\p{Lu}+|\p{N}+/gu)].map(
        (match) => ({
            text: match[0],
            plain: plainWord(match[0]),
            start: match.index,
            end: match.index + match[0].length,
        }),
    );
}

const keyFor = (words: Record<string, string[]>, word: string) =>
    Object.keys(words).find((key) => words[key]!.includes(word));

/** Tokens from `i` on that make the word, which may be several joined by a hyphen. */
function wordAt(tokens: readonly Token[], i: number, words: readonly string[]): boolean {
    return words.some((word) => {
        const parts = word.split('-');
        return parts.every((part, k) => tokens[i + k]?.plain === part);
    });
}

const has = (tokens: readonly Token[], words: readonly string[]) =>
    tokens.some((_, i) => wordAt(tokens, i, words));

function cornerSpan(token: Token): Span | null {
    const value = keyFor(cornerWords, token.plain) ?? keyFor(capitalCorners, token.text);
    return value === undefined ? null : { part: 'corner', value, start: token.start, end: token.end };
}

function adjacentCorner(name: string, a: Token, b: Token): Span | null {
    if (!/^[\s._/-]*$/.test(name.slice(a.end, b.start))) return null;
    for (const [axleToken, sideToken] of [
        [a, b],
        [b, a],
    ] as const) {
        const axle = keyFor(axleWords, axleToken.plain);
        const side = keyFor(sideWords, sideToken.plain);
        if (axle === undefined || side === undefined) continue;
        const value = `${axle === 'front' ? 'F' : 'R'}${side === 'left' ? 'L' : 'R'}`;
        return { part: 'corner', value, start: a.start, end: b.end };
    }
    return null;
}

/** Corner, or axle and side, in a name. */
function placeSpans(name: string, tokens: readonly Token[]): Span[] {
    for (const [i, token] of tokens.entries()) {
        const next = tokens[i + 1];
        const both = next === undefined ? null : adjacentCorner(name, token, next);
        const corner = both ?? cornerSpan(token);
        if (corner !== null) return [corner];
    }
    const one = (part: 'axle' | 'side', words: Record<string, string[]>): Span[] => {
        const token = tokens.find(({ plain }) => keyFor(words, plain) !== undefined);
        if (token === undefined) return [];
        return [{ part, value: keyFor(words, token.plain)!, start: token.start, end: token.end }];
    };
    return [...one('axle', axleWords), ...one('side', sideWords)];
}

const overlaps = (a: Span, b: Span) => a.start < b.end && b.start < a.end;

/** Phases that the name tells, in words of one token or of several. */
function phaseSpans(tokens: readonly Token[], ofSeveral: boolean): Span[] {
    return Object.entries(phaseWords).flatMap(([value, words]) =>
        tokens.flatMap(({ start }, i) => {
            const word = words.find((one) => one.includes('-') === ofSeveral && wordAt(tokens, i, [one]));
            if (word === undefined) return [];
            const { end } = tokens[i + word.split('-').length - 1]!;
            return [{ part: 'phase' as const, value, start, end }];
        }),
    );
}

const unitSigns: Record<string, string> = {
    '°': 'deg',
    "'": 'arcmin',
    '′': 'arcmin',
    '"': 'inch',
    '″': 'inch',
    in: 'inch',
    rad: 'rad',
};

/** The unit in brackets, or the last word. */
function unitOf(name: string, tokens: readonly Token[]): string | null {
    const inBrackets = /[([]([^()[\]]+)[)\]]/.exec(name)?.[1]?.trim();
    if (inBrackets !== undefined && Object.hasOwn(unitSigns, inBrackets)) return unitSigns[inBrackets]!;
    const words = [inBrackets, tokens.at(-1)?.text].map((word) => plainWord(word ?? ''));
    return words.map((word) => keyFor(unitWords, word)).find((unit) => unit !== undefined) ?? null;
}

/**
 * What the words in a column name say. `avant` is front in French and before as well: it counts as front beside a side or
 * where no column of the file says after, which `hasAfter` tells.
 */
export function headerWords(name: string, hasAfter: boolean): HeaderWords {
    const tokens = tokensOf(name);
    const role = columnWords.find(([, words]) => has(tokens, words))?.[0] ?? null;
    const phrases = phaseSpans(tokens, true);
    const isBefore = ({ part, start, end }: Span) =>
        hasAfter && part === 'axle' && plainWord(name.slice(start, end)) === 'avant';
    const places = placeSpans(name, tokens).filter(
        (span) => !isBefore(span) && !phrases.some((phrase) => overlaps(span, phrase)),
    );
    const words = phaseSpans(tokens, false).filter((span) => !places.some((place) => overlaps(span, place)));
    const phase = [...phrases, ...words].slice(0, 1);
    return {
        name,
        role,
        spans: [...places, ...phase].sort((a, b) => a.start - b.start),
        toe: has(tokens, totalWords) ? 'total' : has(tokens, wheelWords) ? 'wheel' : null,
        unit: unitOf(name, tokens),
        isNominal: has(tokens, nominalWords),
        isSteered: has(tokens, steeredWords),
    };
}

/** The corner that a cell names; undefined where it names none. */
export function cornerOf(text: string): string | undefined {
    return placeSpans(text, tokensOf(text)).find(({ part }) => part === 'corner')?.value;
}

/** `front` or `rear`, `left` or `right` as a cell of a column of axles or sides says it. */
export function placeOf(part: 'axle' | 'side', text: string): string | undefined {
    const [cells, words] = part === 'axle' ? [axleCells, axleWords] : [sideCells, sideWords];
    const plain = plainWord(text).trim();
    return keyFor(cells, plain) ?? keyFor(words, plain);
}

/** The phase that a cell names; undefined where it names none. */
export function phaseOf(text: string): string | undefined {
    const tokens = tokensOf(text);
    return [...phaseSpans(tokens, true), ...phaseSpans(tokens, false)][0]?.value;
}

/** Whether a name says that its readings were taken after. */
export const saysAfter = (name: string) => has(tokensOf(name), phaseWords.after!);

/** The name with its corner and phase in braces. */
export function templateOf({ name, spans }: HeaderWords): string {
    let template = '';
    let from = 0;
    for (const { part, start, end } of spans) {
        template += `${name.slice(from, start)}{${part}}`;
        from = end;
    }
    return template + name.slice(from);
}

/** `yes` or `no` as a cell says it; undefined where it says neither. */
export const yesOrNoOf = (text: string): string | undefined => keyFor(yesNoWords, plainWord(text));

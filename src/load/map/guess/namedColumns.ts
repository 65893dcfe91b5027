import { ASK } from '../ask.js';
import { cornerOf, phaseOf, placeOf } from './headerWords.js';
import type { SeenColumns } from './seenColumns.js';
import { type Answer, ask, dateOrder } from './valueGuess.js';
import { flow, type GuessedColumn } from './yamlText.js';

/** Their column for one of ours, asked for where none is known. */
export function required(seen: SeenColumns, name: string, question: string): GuessedColumn {
    const column = seen.plain(name);
    return { name, keys: [['column', column === undefined ? ask(question) : seen.take(column)]] };
}

/** The same, left out where none is known. */
export function optional(seen: SeenColumns, name: string): GuessedColumn | null {
    return seen.plain(name) === undefined ? null : required(seen, name, '');
}

/** Their words in a column, and ours as far as `known` tells. */
function wordsOf(
    seen: SeenColumns,
    name: string,
    known: (word: string) => string | undefined,
    question: string,
): Answer {
    const words = [...new Set(seen.textsOf([name]))].slice(0, 20);
    const pairs = Object.fromEntries(words.map((word) => [word, known(word) ?? ASK]));
    return { value: flow(pairs), comment: Object.values(pairs).includes(ASK) ? question : null };
}

/** A column of ours that holds one of a few words; null where the file is unfolded to it. */
function chosen(
    seen: SeenColumns,
    name: string,
    question: string,
    known: (word: string) => string | undefined,
): GuessedColumn | null {
    if (Object.hasOwn(seen.unfold, name)) return null;
    const column = seen.plain(name);
    if (column === undefined) return { name, keys: [['constant', ask(question)]] };
    const words = wordsOf(seen, column.name, known, question);
    return {
        name,
        keys: [
            ['column', seen.take(column)],
            ['words', words],
        ],
    };
}

/** The same, left out where the file has no column for it. */
export function told(
    seen: SeenColumns,
    name: string,
    question: string,
    known: (word: string) => string | undefined,
): GuessedColumn | null {
    return seen.plain(name) === undefined ? null : chosen(seen, name, question, known);
}

/** What tells an axle or a side: a column, or words of unfold in the place of one. */
interface Half {
    /** Between braces in `text`. */
    name: string;
    words: readonly string[];
    isUnfolded: boolean;
}

function halfOf(seen: SeenColumns, part: 'axle' | 'side'): Half | undefined {
    const unfolded = seen.unfold[part];
    if (unfolded !== undefined) return { name: part, words: Object.keys(unfolded), isUnfolded: true };
    const column = seen.plain(part);
    return column && { name: column.name, words: seen.cellsOf(column.name), isUnfolded: false };
}

/** Corner from what tells axles and what tells sides, of which one at least is a column. */
function cornerOfTwo(seen: SeenColumns, axle: Half, side: Half): GuessedColumn {
    const distinct = ({ words }: Half) => [...new Set(words)].filter((word) => word !== '');
    const pairs =
        axle.isUnfolded || side.isUnfolded
            ? distinct(axle).flatMap((word) => distinct(side).map((other) => [word, other] as const))
            : axle.words.map((word, i) => [word, side.words[i] ?? ''] as const);
    const words = Object.fromEntries(
        pairs
            .filter((pair) => pair.some((word) => word !== ''))
            .map(([axleWord, sideWord]) => {
                const ofAxle = placeOf('axle', axleWord) ?? seen.unfold.axle?.[axleWord];
                const ofSide = placeOf('side', sideWord) ?? seen.unfold.side?.[sideWord];
                const isTold = ofAxle !== undefined && ofSide !== undefined;
                const code = `${ofAxle === 'front' ? 'F' : 'R'}${ofSide === 'left' ? 'L' : 'R'}`;
                return [`${axleWord} ${sideWord}`.trim(), isTold ? code : ASK] as const;
            }),
    );
    const isAsked = Object.values(words).includes(ASK);
    for (const { name } of [axle, side]) seen.used.add(name);
    return {
        name: 'corner',
        keys: [
            ['text', { value: JSON.stringify(`{${axle.name}} {${side.name}}`), comment: null }],
            ['words', { value: flow(words), comment: isAsked ? 'FL, FR, RL or RR' : null }],
        ],
    };
}

export function corner(seen: SeenColumns): GuessedColumn | null {
    if (seen.unfold.axle !== undefined && seen.unfold.side !== undefined) return null;
    const axle = halfOf(seen, 'axle');
    const side = halfOf(seen, 'side');
    const isOwn = seen.unfold.corner !== undefined || seen.plain('corner') !== undefined;
    if (!isOwn && axle !== undefined && side !== undefined) return cornerOfTwo(seen, axle, side);
    return chosen(seen, 'corner', 'FL, FR, RL or RR', cornerOf);
}

export function phase(seen: SeenColumns): GuessedColumn | null {
    const question = 'before (nothing touched yet), moved (plates moved, tie rods not yet) or after';
    return chosen(seen, 'phase', question, phaseOf);
}

export function visitKind(seen: SeenColumns): GuessedColumn | null {
    const question = 'install, adjust, session (last check before and first after running) or check';
    return chosen(seen, 'visit_kind', question, () => undefined);
}

export function measuredAt(seen: SeenColumns): GuessedColumn {
    const date = seen.plain('date');
    const time = seen.plain('time');
    const keysOf = (from: GuessedColumn['keys'][number], order: Answer): GuessedColumn => ({
        name: 'measured_at',
        keys: [from, ['date', order]],
    });
    if (date === undefined) {
        const question = 'their column of dates; of two, text: "{Date} {Time}" in the place of this line';
        return keysOf(['column', ask(question)], ask('day-first, month-first, year-first or iso'));
    }
    const order = dateOrder(seen.textsOf([date.name]));
    const ofDate = seen.take(date);
    if (time === undefined) return keysOf(['column', ofDate], order);
    seen.take(time);
    const text = JSON.stringify(`{${date.name}} {${time.name}}`);
    return keysOf(['text', { value: text, comment: null }], order);
}

/** An order number, else car and date. */
export function visit(seen: SeenColumns): GuessedColumn {
    const vehicle = seen.plain('vehicle');
    const date = seen.plain('date');
    if (seen.plain('visit') !== undefined || vehicle === undefined || date === undefined) {
        const question =
            'their column that tells one visit to the workshop from the next, or { text: "{Plate} {Date}" }';
        return required(seen, 'visit', question);
    }
    const value = JSON.stringify(`{${vehicle.name}} {${date.name}}`);
    const comment = 'no order number found: all readings of a car on a day count as one visit';
    return { name: 'visit', keys: [['text', { value, comment }]] };
}

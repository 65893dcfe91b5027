import { asciiSigns } from '../../../units/asciiSigns.js';
import type { DecimalMark } from '../../../units/decimalNumber.js';
import { decimalNumber } from '../../../units/decimalNumber.js';
import { degMinToDeg } from '../../../units/degMinToDeg.js';
import { type HeaderWords, phaseOf, plainWord } from './headerWords.js';
import type { Wide } from './templates.js';
import { capitalCorners, cornerWords } from './tradeWords.js';
import {
    type Answer,
    ASK,
    angleUnit,
    camberSign,
    dateOrder,
    looksBlank,
    mayBeMinutes,
    toeSign,
    usuallyPositive,
} from './valueGuess.js';
import { flow, type GuessedColumn, scalar, sure } from './yamlText.js';

const ask = (comment: string): Answer => ({ value: ASK, comment });

/** The columns of a file and what stands in them, for guessing what they are. */
export class GuessedColumns {
    readonly used = new Set<string>();
    readonly #columns: readonly HeaderWords[];
    readonly #wide: Wide;
    readonly #texts: ReadonlyMap<string, string[]>;
    readonly #mark: DecimalMark;
    readonly #maybeMinutes: boolean;

    constructor(
        columns: readonly HeaderWords[],
        wide: Wide,
        texts: ReadonlyMap<string, string[]>,
        mark: DecimalMark,
    ) {
        this.#columns = columns;
        this.#wide = wide;
        this.#texts = texts;
        this.#mark = mark;
        const angles = columns.filter(
            ({ role, unit }) => role?.endsWith('_deg') && (unit === null || unit === 'deg'),
        );
        this.#maybeMinutes = mayBeMinutes(this.textsOf(angles.map(({ name }) => name)));
        for (const { members } of wide.templates) for (const { name } of members) this.used.add(name);
    }

    /** All cells of columns that are not blank. */
    textsOf(names: readonly string[]): string[] {
        return names
            .flatMap((name) => this.#texts.get(name) ?? [])
            .filter((text) => text !== '' && !looksBlank(text));
    }

    /** The first column with that role that stands for no corner or phase. */
    plainColumn(role: string): HeaderWords | undefined {
        const { templates } = this.#wide;
        return this.#columns.find(
            ({ role: own, spans, isNominal, isSteered }) =>
                own === role &&
                !isNominal &&
                !isSteered &&
                (spans.length === 0 || (templates.length === 0 && !/_deg$/.test(role))),
        );
    }

    #take(column: HeaderWords): Answer {
        this.used.add(column.name);
        return sure(column.name);
    }

    /** Their words in a column, and ours as far as `known` tells. */
    #words(name: string, known: (word: string) => string | undefined, question: string): Answer {
        const words = [...new Set(this.textsOf([name]))].slice(0, 20);
        const pairs = Object.fromEntries(words.map((word) => [word, known(word) ?? ASK]));
        return { value: flow(pairs), comment: Object.values(pairs).includes(ASK) ? question : null };
    }

    #chosen(
        name: string,
        question: string,
        known: (word: string) => string | undefined,
    ): GuessedColumn | null {
        if (Object.hasOwn(this.#wide.unfold, name)) return null;
        const column = this.plainColumn(name);
        if (column === undefined) return { name, keys: [['constant', ask(question)]] };
        return {
            name,
            keys: [
                ['column', this.#take(column)],
                ['words', this.#words(column.name, known, question)],
            ],
        };
    }

    required(name: string, question: string): GuessedColumn {
        const column = this.plainColumn(name);
        return { name, keys: [['column', column === undefined ? ask(question) : this.#take(column)]] };
    }

    optional(name: string): GuessedColumn | null {
        return this.plainColumn(name) === undefined ? null : this.required(name, '');
    }

    moment(): GuessedColumn {
        const date = this.plainColumn('date');
        if (date === undefined) {
            const question =
                'their column of dates; where it is two, text: "{Date} {Time}" in the place of this line';
            return {
                name: 'measured_at',
                keys: [
                    ['column', ask(question)],
                    ['date', ask('day-first, month-first, year-first or iso')],
                ],
            };
        }
        const time = this.plainColumn('time');
        this.#take(date);
        if (time !== undefined) this.#take(time);
        const text = `{${date.name}} {${time?.name}}`;
        return {
            name: 'measured_at',
            keys: [
                time === undefined
                    ? ['column', sure(date.name)]
                    : ['text', { value: JSON.stringify(text), comment: null }],
                ['date', dateOrder(this.textsOf([date.name]))],
            ],
        };
    }

    visit(): GuessedColumn {
        const column = this.plainColumn('visit');
        if (column !== undefined) return { name: 'visit', keys: [['column', this.#take(column)]] };
        const vehicle = this.plainColumn('vehicle');
        const date = this.plainColumn('date');
        const question =
            'their column that tells one visit to the workshop from the next, or { text: "{Plate} {Date}" }';
        if (vehicle === undefined || date === undefined) {
            return { name: 'visit', keys: [['column', ask(question)]] };
        }
        const value = JSON.stringify(`{${vehicle.name}} {${date.name}}`);
        const comment = 'no order number found: all readings of a car on a day count as one visit';
        return { name: 'visit', keys: [['text', { value, comment }]] };
    }

    corner(): GuessedColumn | null {
        const { unfold } = this.#wide;
        if (unfold.axle !== undefined && unfold.side !== undefined) return null;
        const known = (word: string) =>
            ['FL', 'FR', 'RL', 'RR'].find(
                (corner) =>
                    cornerWords[corner]!.includes(plainWord(word)) || capitalCorners[corner]!.includes(word),
            );
        return this.#chosen('corner', 'FL, FR, RL or RR', known);
    }

    phase(): GuessedColumn | null {
        const question = 'before (nothing touched yet), moved (plates moved, tie rods not yet) or after';
        return this.#chosen('phase', question, phaseOf);
    }

    visitKind(): GuessedColumn {
        const question = 'install, adjust, session (last check before and first after running) or check';
        return this.#chosen('visit_kind', question, () => undefined)!;
    }

    /** Names of the columns behind one of ours, and what the map should call them. */
    #measured(name: string): { names: string[]; words: HeaderWords; column: Answer; isWide: boolean } | null {
        const template = this.#wide.templates.find(({ role }) => role === name);
        if (template !== undefined) {
            const { members, text } = template;
            return {
                names: members.map((member) => member.name),
                words: members[0]!,
                column: { value: JSON.stringify(text), comment: null },
                isWide: true,
            };
        }
        const words = this.plainColumn(name);
        if (words === undefined) return null;
        return { names: [words.name], words, column: this.#take(words), isWide: false };
    }

    #toe(names: readonly string[], words: HeaderWords, isWide: boolean): Answer {
        if (words.toe !== null) return { value: words.toe, comment: 'from the column name' };
        const isPerWheel = isWide && words.spans.some(({ part }) => part === 'corner' || part === 'side');
        const columns = names.map((name) => (this.#texts.get(name) ?? []).join('\n'));
        if (isPerWheel && new Set(columns).size > 1) {
            return { value: 'wheel', comment: 'left and right differ, which total toe cannot' };
        }
        return ask('total if it is that of the axle (it is halved), wheel if of each wheel');
    }

    angle(name: string): GuessedColumn | null {
        const found = this.#measured(name);
        if (found === null) return null;
        const { names, words, column, isWide } = found;
        const texts = this.textsOf(names);
        const isToe = name === 'toe_deg';
        const unit = angleUnit(texts, words.unit, this.#mark, isToe, this.#maybeMinutes);
        const plain = texts.map(asciiSigns);
        const values = plain.map(
            (text) =>
                (unit.value === 'deg-min' ? degMinToDeg(text, this.#mark) : null) ??
                decimalNumber(text.replace(/ ?°$/, ''), this.#mark) ??
                0,
        );
        const sign = isToe ? toeSign() : name === 'camber_deg' ? camberSign(values) : usuallyPositive(values);
        const isLength = unit.value === 'mm' || unit.value === 'inch';
        const diameter = ask('distance of the two measuring points, mm (16 inches are 406.4)');
        return {
            name,
            keys: [
                ['column', column],
                ['unit', unit],
                ...(isToe ? ([['toe', this.#toe(names, words, isWide)]] as [string, Answer][]) : []),
                ...(isLength ? ([['diameter_mm', diameter]] as [string, Answer][]) : []),
                ['flip', sign],
            ],
        };
    }

    /** A column with a unit that the name tells or that is asked for. */
    quantity(name: string, units: string): GuessedColumn | null {
        const found = this.#measured(name);
        if (found === null) return null;
        const { names, words, column } = found;
        const example = this.textsOf(names)[0] ?? '';
        const unit =
            words.unit !== null && units.split(' ').includes(words.unit)
                ? { value: scalar(words.unit), comment: 'from the column name' }
                : ask(`${example}: ${units.replaceAll(' ', ', ')}`);
        const isOffset = name.startsWith('offset');
        const sign = ask('false if positive means outboard or rearward here, true if the other way');
        return {
            name,
            keys: [
                ['column', column],
                ['unit', unit],
                ...(isOffset ? ([['flip', sign]] as [string, Answer][]) : []),
            ],
        };
    }

    /** A column that may be wide and needs no more than its name. */
    simple(name: string): GuessedColumn | null {
        const found = this.#measured(name);
        return found === null ? null : { name, keys: [['column', found.column]] };
    }
}

import type { DecimalMark } from '../../../units/decimalNumber.js';
import type { HeaderWords } from './headerWords.js';
import { type Template, type Wide, worthOf } from './templates.js';
import { type Answer, looksBlank, mayBeMinutes } from './valueGuess.js';
import { sure } from './yamlText.js';

/** The columns of a file and what stands in them, and which of them have been put to use. */
export class SeenColumns {
    readonly used = new Set<string>();
    readonly unfold: Wide['unfold'];
    readonly mark: DecimalMark;
    /** No angle of the file has decimals that cannot be minutes. */
    readonly maybeMinutes: boolean;
    readonly #columns: readonly HeaderWords[];
    readonly #templates: readonly Template[];
    readonly #texts: ReadonlyMap<string, string[]>;

    constructor(
        columns: readonly HeaderWords[],
        { templates, unfold }: Wide,
        texts: ReadonlyMap<string, string[]>,
        mark: DecimalMark,
    ) {
        this.#columns = columns;
        this.#templates = templates;
        this.#texts = texts;
        this.unfold = unfold;
        this.mark = mark;
        const angles = columns.filter(
            ({ role, unit }) =>
                role?.endsWith('_deg') && role !== 'caster_sweep_deg' && (unit === null || unit === 'deg'),
        );
        this.maybeMinutes = mayBeMinutes(this.textsOf(angles.map(({ name }) => name)));
    }

    /** Whether a row of the file is to be unfolded. */
    get isWide(): boolean {
        return this.#templates.length > 0;
    }

    /** Whether its rows tell phases apart and no corners. */
    get isOfPhasesOnly(): boolean {
        return Object.keys(this.unfold).join() === 'phase';
    }

    /** All cells of columns that are not blank. */
    textsOf(names: readonly string[]): string[] {
        return names.flatMap((name) => this.cellsOf(name)).filter((text) => text !== '' && !looksBlank(text));
    }

    cellsOf(name: string): readonly string[] {
        return this.#texts.get(name) ?? [];
    }

    /** The column of readings with that role that stands for no corner or phase; of several the fullest, then the first. */
    plain(role: string): HeaderWords | undefined {
        const worth = (column: HeaderWords) =>
            worthOf(column.toe === 'total', this.textsOf([column.name]).length);
        return this.#columns
            .filter(
                (column) =>
                    column.role === role &&
                    column.spans.length === 0 &&
                    !column.isNominal &&
                    !column.isSteered,
            )
            .reduce<HeaderWords | undefined>(
                (best, column) => (best !== undefined && worth(best) >= worth(column) ? best : column),
                undefined,
            );
    }

    template(role: string): Template | undefined {
        return this.#templates.find((template) => template.role === role);
    }

    take(column: HeaderWords): Answer {
        this.used.add(column.name);
        return sure(column.name);
    }

    takeAll({ members, text }: Template): Answer {
        for (const { name } of members) this.used.add(name);
        return { value: JSON.stringify(text), comment: null };
    }
}

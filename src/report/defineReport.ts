import type { z } from 'zod';
import type { Block, Section } from './blocks.js';

/** Row schema per query: the name is the file `reports/NAME/<name>.sql`. */
export type RowSchemas = Readonly<Record<string, z.ZodObject>>;
type RowsOf<S extends RowSchemas> = { readonly [K in keyof S]: readonly z.infer<S[K]>[] };

/** A sentence, with what it is about in front where that helps to find it. */
export interface Finding {
    about?: string;
    text: string;
}

/** A defined term, an estimator or an interval of the method notes. */
export interface MethodNote {
    term: string;
    text: string;
}

/** Choice of one value of `field` that all plots of the page then stress. */
export interface Highlight {
    field: string;
    label: string;
    values: readonly string[];
}

/** A select of one value of `field`: groups and rows of tables whose keys have another value are hidden. */
export interface Filter {
    field: string;
    label: string;
    values: readonly string[];
}

/** Whom a page is for; pages of one group stand together in the navigation. */
export const groups = ['team', 'shop', 'maker'] as const;
type PageGroup = (typeof groups)[number];

/** Everything that one page says, from the rows of its queries. Cautions and build stamp are added by the frame. */
interface ReportDefinition<S extends RowSchemas> {
    /** Name of the page in the navigation, a word or two. */
    title: string;
    /** What the page answers. */
    question: string;
    group: PageGroup;
    /** What the page rests on; default: readings. */
    basis?: 'readings' | 'parts';
    rows: S;
    /** The finding as one sentence. */
    headline(rows: RowsOf<S>): string;
    /** The picture that shows the headline, a figure, with its legend where it needs one; nothing where there is nothing to draw. */
    picture(rows: RowsOf<S>): readonly Block[];
    /** Three sentences at most. */
    answer(rows: RowsOf<S>): readonly string[];
    findings(rows: RowsOf<S>): readonly Finding[];
    sections(rows: RowsOf<S>): readonly Section[];
    method: readonly MethodNote[];
    /** Its field also works as a {@link Filter}. */
    highlight?(rows: RowsOf<S>): Highlight;
    filters?(rows: RowsOf<S>): readonly Filter[];
}

export interface Content {
    headline: string;
    picture: readonly Block[];
    answer: readonly string[];
    findings: readonly Finding[];
    sections: readonly Section[];
    method: readonly MethodNote[];
    highlight: Highlight | null;
    filters: readonly Filter[];
}

/** A report whose rows are checked when they come in. */
export interface Report {
    title: string;
    question: string;
    group: PageGroup;
    basis: 'readings' | 'parts';
    schemas: RowSchemas;
    /** Content of the page from raw rows per query; a row that does not fit its schema is a bug and throws. */
    content(cells: Readonly<Record<string, readonly object[]>>): Content;
}

/** Declares the report of one folder under `reports/`; default-export what it returns. */
export function defineReport<S extends RowSchemas>(definition: ReportDefinition<S>): Report {
    return {
        title: definition.title,
        question: definition.question,
        group: definition.group,
        basis: definition.basis ?? 'readings',
        schemas: definition.rows,
        content(cells) {
            const rows = Object.fromEntries(
                Object.entries(definition.rows).map(([name, schema]) => [
                    name,
                    cells[name]!.map((row) => schema.parse(row)),
                ]),
            ) as unknown as RowsOf<S>;
            return {
                headline: definition.headline(rows),
                picture: definition.picture(rows),
                answer: definition.answer(rows),
                findings: definition.findings(rows),
                sections: definition.sections(rows),
                method: definition.method,
                highlight: definition.highlight?.(rows) ?? null,
                filters: definition.filters?.(rows) ?? [],
            };
        },
    };
}

import { ASK } from '../ask.js';
import { type HeaderWords, templateOf } from './headerWords.js';
import { ofThePlate } from './placeWords.js';

/** Columns whose names differ in corner and phase only. */
export interface Template {
    text: string;
    role: string;
    members: HeaderWords[];
    parts: string[];
}

/** How the file is wide: a template for each of our columns, and the words that stand for corner and phase. */
export interface Wide {
    templates: Template[];
    unfold: Record<string, Record<string, string>>;
    /** Columns with a role that found no place, with the reason. */
    leftOver: Map<string, string>;
}

function grouped(columns: readonly HeaderWords[]): Template[] {
    const templates = new Map<string, Template>();
    for (const column of columns) {
        const text = templateOf(column);
        const parts = column.spans.map(({ part }) => part);
        const template = templates.get(text) ?? { text, role: column.role!, members: [], parts };
        template.members.push(column);
        templates.set(text, template);
    }
    return [...templates.values()];
}

/** What a column is worth with that many cells filled: toe of the axle tells nine tenths of what toe of a wheel does. */
export const worthOf = (isTotal: boolean, filledCount: number) => (isTotal ? 0.9 * filledCount : filledCount);

/** Cells that its columns fill, those of an axle counted for both of its wheels. */
function templateWorth({ members, parts }: Template, filledCounts: ReadonlyMap<string, number>): number {
    const filled = members.reduce((sum, { name }) => sum + (filledCounts.get(name) ?? 0), 0);
    const isOfAxle = parts.includes('axle') && !parts.includes('side');
    return worthOf(members[0]!.toe === 'total', isOfAxle ? 2 * filled : filled);
}

/** What keeps a template from being used, given what the file tells apart elsewhere. */
function leftOut(
    { role, parts }: Template,
    taken: Template | undefined,
    { hasPhases, hasRears }: { hasPhases: boolean; hasRears: boolean },
): string | null {
    if (taken !== undefined) return `${role} is taken from ${taken.members[0]!.name} and the like`;
    if (hasPhases && !parts.includes('phase') && !ofThePlate.has(role)) {
        return 'does not say of which phase; under columns it would count for each';
    }
    if (hasRears && parts.every((part) => part === 'phase')) {
        return 'does not say of which axle; under columns it would count for each';
    }
    return null;
}

/** A side alone does not tell the corner: the words are asked for, unless a column tells the axle. */
function withCorners({ templates, unfold, leftOver }: Wide, hasAxles: boolean): Wide {
    const { side, ...others } = unfold;
    if (side === undefined || hasAxles || unfold.axle !== undefined || unfold.corner !== undefined) {
        return { templates, unfold, leftOver };
    }
    const corner = Object.fromEntries(Object.keys(side).map((word) => [word, ASK]));
    const renamed = templates.map((template) => ({
        ...template,
        text: template.text.replace('{side}', '{corner}'),
    }));
    return { templates: renamed, unfold: { corner, ...others }, leftOver };
}

/** Finds the columns that stand for corners and phases; of two templates for one angle the fuller one counts. */
export function wideColumns(
    columns: readonly HeaderWords[],
    filledCounts: ReadonlyMap<string, number>,
): Wide {
    const candidates = columns.filter(
        ({ role, spans, isNominal, isSteered }) =>
            role !== null && spans.length > 0 && !isNominal && !isSteered,
    );
    const worths = new Map(
        grouped(candidates).map((template) => [template, templateWorth(template, filledCounts)]),
    );
    const all = [...worths.keys()].sort((a, b) => worths.get(b)! - worths.get(a)!);
    const told = {
        hasPhases: all.some(({ parts }) => parts.includes('phase')),
        hasRears: candidates.some(({ spans }) => spans.some(({ value }) => /^(R|rear)/.test(value))),
    };
    const templates: Template[] = [];
    const leftOver = new Map<string, string>();
    for (const template of all) {
        const taken = templates.find(({ role }) => role === template.role);
        const reason = leftOut(template, taken, told);
        if (reason === null) templates.push(template);
        else for (const { name } of template.members) leftOver.set(name, reason);
    }
    const unfold: Wide['unfold'] = {};
    for (const { name, spans } of templates.flatMap(({ members }) => members)) {
        for (const { part, value, start, end } of spans) {
            unfold[part] = { ...unfold[part], [name.slice(start, end)]: value };
        }
    }
    const hasAxles = columns.some(({ role, spans }) => role === 'axle' && spans.length === 0);
    return withCorners({ templates, unfold, leftOver }, hasAxles);
}

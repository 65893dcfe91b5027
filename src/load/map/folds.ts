import type { ImportMap } from '../../contracts/map.js';

/** One of the rows that a row of the file is unfolded to. */
export interface Fold {
    /** Our columns and their values: `{corner: 'FL', phase: 'before'}`. */
    values: Record<string, string>;
    /** Their words that lead here, in every way that the map allows: `{corner: 'VL', axle: 'VA', phase: 'vorher'}`. */
    words: Record<string, string>[];
}

/** Parts of a corner, which their column names may tell one by one. */
export const cornerParts: Record<string, Record<string, readonly string[]>> = {
    axle: { front: ['FL', 'FR'], rear: ['RL', 'RR'] },
    side: { left: ['FL', 'RL'], right: ['FR', 'RR'] },
};

type Way = Record<string, { word: string; value: string }>;

function allWays(unfold: [string, Record<string, string>][]): Way[] {
    return unfold.reduce<Way[]>(
        (ways, [name, words]) =>
            ways.flatMap((way) =>
                Object.entries(words).map(([word, value]) => ({ ...way, [name]: { word, value } })),
            ),
        [{}],
    );
}

function cornersOf(part: string, value: string): readonly string[] {
    return part === 'corner' ? [value] : cornerParts[part]![value]!;
}

/** Ways to tell a corner by name or by its parts; a corner whose axle or side has no word goes without. */
function cornerWays(unfold: ImportMap['unfold']): { corner: string; way: Way }[] {
    const parts = ['corner', ...Object.keys(cornerParts)].filter((part) => Object.hasOwn(unfold, part));
    return ['FL', 'FR', 'RL', 'RR'].flatMap((corner) => {
        const fitting = parts.map((part): [string, Record<string, string>] => {
            const words = Object.entries(unfold[part]!);
            return [
                part,
                Object.fromEntries(words.filter(([, value]) => cornersOf(part, value).includes(corner))),
            ];
        });
        const told = fitting.filter(([, words]) => Object.keys(words).length > 0);
        const names = told.map(([part]) => part);
        const isTold = names.includes('corner') || (names.includes('axle') && names.includes('side'));
        return isTold ? allWays(told).map((way) => ({ corner, way })) : [];
    });
}

function valuesOf(way: Way): Record<string, string> {
    return Object.fromEntries(Object.entries(way).map(([name, { value }]) => [name, value]));
}

/** The one of axle and side that `unfold` tells beside a column of the other, which `corner` puts together; null where there is none. */
export function lonePart({ unfold, columns }: Pick<ImportMap, 'unfold' | 'columns'>): string | null {
    const parts = Object.keys(cornerParts).filter((part) => Object.hasOwn(unfold, part));
    const { text } = columns.corner ?? {};
    return parts.length === 1 && text?.includes(`{${parts[0]}}`) ? parts[0]! : null;
}

/** The rows that `unfold` makes of one; a single row without values where it is empty. */
export function foldsOf(map: Pick<ImportMap, 'unfold' | 'columns'>): Fold[] {
    const lone = lonePart(map);
    const isCorner = (name: string) =>
        name !== lone && (name === 'corner' || Object.hasOwn(cornerParts, name));
    const others = Object.entries(map.unfold).filter(([name]) => !isCorner(name));
    const corners: { corner: string | null; way: Way }[] = Object.keys(map.unfold).some(isCorner)
        ? cornerWays(map.unfold)
        : [{ corner: null, way: {} }];
    const folds = new Map<string, Fold>();
    for (const { corner, way: cornerWay } of corners) {
        for (const way of allWays(others)) {
            const all = { ...(corner !== null && { corner }), ...valuesOf(way) };
            const key = JSON.stringify(all);
            const values = Object.fromEntries(Object.entries(all).filter(([name]) => name !== lone));
            const words = Object.entries({ ...cornerWay, ...way }).map(
                ([name, { word }]) => [name, word] as const,
            );
            const fold: Fold = folds.get(key) ?? { values, words: [] };
            fold.words.push(Object.fromEntries(words));
            folds.set(key, fold);
        }
    }
    return [...folds.values()];
}

/** `template` with `{corner}` and the like replaced by their words. */
export function expanded(template: string, words: Record<string, string>): string {
    return template.replace(/\{([a-z_0-9]+)\}/g, (whole, name: string) =>
        Object.hasOwn(words, name) ? words[name]! : whole,
    );
}

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

function cornersOf(part: string, value: string): readonly string[] {
    return part === 'corner' ? [value] : cornerParts[part]![value]!;
}

type Chosen = Record<string, { word: string; value: string }>;

function allWays(unfold: ImportMap['unfold']): Chosen[] {
    return Object.entries(unfold).reduce<Chosen[]>(
        (ways, [name, words]) =>
            ways.flatMap((way) =>
                Object.entries(words).map(([word, value]) => ({ ...way, [name]: { word, value } })),
            ),
        [{}],
    );
}

function foldValues(way: Chosen): Record<string, string> | null {
    const parts = Object.entries(way).filter(([name]) => name === 'corner' || name in cornerParts);
    const others = Object.entries(way).filter(([name]) => name !== 'corner' && !(name in cornerParts));
    const values = Object.fromEntries(others.map(([name, { value }]) => [name, value]));
    if (parts.length === 0) return values;
    const corners = parts
        .map(([name, { value }]) => cornersOf(name, value))
        .reduce((both, some) => both.filter((corner) => some.includes(corner)));
    return corners.length === 1 ? { corner: corners[0]!, ...values } : null;
}

/** The rows that `unfold` makes of one; a single row without values where it is empty. */
export function foldsOf(unfold: ImportMap['unfold']): Fold[] {
    const folds = new Map<string, Fold>();
    for (const way of allWays(unfold)) {
        const values = foldValues(way);
        if (values === null) continue;
        const key = JSON.stringify(values);
        const words = Object.fromEntries(Object.entries(way).map(([name, { word }]) => [name, word]));
        const fold = folds.get(key) ?? { values, words: [] };
        fold.words.push(words);
        folds.set(key, fold);
    }
    return [...folds.values()];
}

/** `template` with `{corner}` and the like replaced by their words. */
export function expanded(template: string, words: Record<string, string>): string {
    return template.replace(/\{([a-z_0-9]+)\}/g, (whole, name: string) =>
        Object.hasOwn(words, name) ? words[name]! : whole,
    );
}

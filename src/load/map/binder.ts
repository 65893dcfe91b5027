import type { ColumnSource, ImportMap } from '../../contracts/map.js';
import { noSuchColumn, twoColumns } from '../../errors/mapMessages.js';
import { nearestName } from '../nearestName.js';
import type { Cell, Place } from './binding.js';
import { expanded, type Fold } from './folds.js';
import { tidyName } from './theirColumns.js';

/** What a source says about their columns, words of unfold still in braces. */
function templatesOf({ column, text, sweep }: ColumnSource): string[] {
    if (sweep === undefined) return [column ?? text ?? ''];
    const { left, right, steer_deg } = sweep;
    return [left, right, ...(typeof steer_deg === 'string' ? [steer_deg] : [])];
}

/** Names of their columns that a source reads with these words. */
function namesOf(source: ColumnSource, words: Record<string, string>): string[] {
    if (source.constant !== undefined) return [];
    const texts = templatesOf(source).map((template) => expanded(template, words));
    if (source.text === undefined) return texts;
    return [...texts[0]!.matchAll(/\{([^{}]+)\}/g)].map(([, name]) => name!);
}

/** Looks up the columns of a file for a map, and keeps account of what was used and what is missing. */
export class Binder {
    readonly #map: ImportMap;
    readonly #index: Map<string, number>;
    readonly used = new Set<number>();
    readonly usedWords = new Set<string>();
    readonly faults: string[] = [];

    constructor(map: ImportMap, theirNames: readonly string[]) {
        this.#map = map;
        this.#index = new Map(theirNames.map((name, index) => [name, index]));
    }

    indexOf(name: string): number | undefined {
        return this.#index.get(tidyName(name));
    }

    /** Whether a source is worded anew for each row that is made of one. */
    isTemplate(source: ColumnSource): boolean {
        return Object.keys(this.#map.unfold).some((name) => this.#mentions(source, name));
    }

    #mentions(source: ColumnSource, name: string): boolean {
        return templatesOf(source).some((template) => template.includes(`{${name}}`));
    }

    missing(where: string, name: string): void {
        const names = new Map([...this.#index.keys()].map((one) => [one.toLowerCase(), one]));
        const nearest = names.get(nearestName(name, [...names.keys()]) ?? '') ?? null;
        this.faults.push(noSuchColumn(where, name, nearest));
    }

    /** The place for one way to word a fold; null where the file lacks a column of it. */
    #placeFor(source: ColumnSource, words: Record<string, string>): Place | null {
        const names = namesOf(source, words);
        const indices = names.map((name) => this.indexOf(name));
        if (indices.some((index) => index === undefined)) return null;
        for (const index of indices) this.used.add(index!);
        for (const [name, word] of Object.entries(words)) {
            if (this.#mentions(source, name)) this.usedWords.add(`${name} ${word}`);
        }
        const cells = indices.map((index) => ({ index: index! }));
        if (source.constant !== undefined) return { kind: 'constant', text: source.constant };
        if (source.column !== undefined) return { kind: 'cells', parts: cells, at: names[0]! };
        if (source.text !== undefined) {
            const parts = expanded(source.text, words).split(/\{[^{}]+\}/);
            return {
                kind: 'cells',
                parts: parts.flatMap((part, i) => [part, ...cells.slice(i, i + 1)]),
                at: names[0] ?? '',
            };
        }
        const [left, right, steer] = cells as [Cell, Cell, Cell | undefined];
        return { kind: 'sweep', left, right, steer: steer ?? (source.sweep!.steer_deg as number) };
    }

    place(name: string, source: ColumnSource, fold: Fold): Place | null {
        const places = new Map<string, Place>();
        for (const words of fold.words) {
            const place = this.#placeFor(source, words);
            if (place !== null) places.set(JSON.stringify(place), place);
        }
        if (places.size > 1) this.faults.push(twoColumns(name, Object.values(fold.values)));
        return [...places.values()][0] ?? null;
    }

    /** Faults of a source that found no place in any fold. */
    placeless(name: string, source: ColumnSource): void {
        for (const template of namesOf(source, {})) {
            if (this.indexOf(template) === undefined) this.missing(name, template);
        }
    }
}

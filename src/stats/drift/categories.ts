import { type CarPattern, carPatternNamed } from './carPatterns.js';
import { Component } from './components.js';
import type { Corner, Front } from './corner.js';
import type { Vector } from './gaussian.js';
import { type Pattern, patternNamed } from './patterns.js';

export type Row = Readonly<Record<string, unknown>>;

/** A cause and size class; causes on the whole car have one size class. */
interface Category {
    cause: string;
    size: number;
}

export interface CornerCategory extends Category {
    components: readonly {
        /** Of the pattern. */
        name: string;
        patternOf: (front: Front) => Pattern | null;
        component: Component;
    }[];
}

/** A normal component, about 0, of the size of a cause on the whole car. */
export interface CarComponent {
    pattern: CarPattern;
    /** Place of its cause. */
    place: number;
    /** Place of its effect on the rears; null where they stay as they were. */
    rear: number | null;
    variance: number;
    share: number;
}

/** What may have happened, in the order of lists of likelihoods: by name, that a corner held first. */
export interface Categories {
    corner: readonly CornerCategory[];
    /** Places in `corner` of slips: they are weighed beside causes on the car. */
    slips: readonly number[];
    /** Causes on the car. */
    car: readonly Category[];
    carComponents: {
        /** Those whose effect is known, and those with which comes noise of their own. */
        known: readonly CarComponent[];
        unknown: readonly CarComponent[];
        /** Effects on the rears. */
        rears: readonly ((rear: Corner) => Vector)[];
    };
}

const inOrder = (a: string, b: string) => (a === b ? 0 : a === 'held' || (b !== 'held' && a < b) ? -1 : 1);

function cornerCategories(rows: readonly Row[]): CornerCategory[] {
    const found = new Map<string, { cause: string; size: number; own: Row[] }>();
    for (const row of rows) {
        const { cause, size } = row as unknown as Category;
        const category = found.get(`${cause} ${size}`) ?? { cause, size, own: [] };
        found.set(`${cause} ${size}`, category);
        category.own.push(row);
    }
    return [...found.values()]
        .sort((a, b) => inOrder(a.cause, b.cause) || a.size - b.size)
        .map(({ cause, size, own }) => ({
            cause,
            size,
            components: own.map(({ pattern, mean, sd, share }) => ({
                name: pattern as string,
                patternOf: patternNamed(pattern as string),
                component: new Component(mean as number, sd as number, share as number),
            })),
        }));
}

function carComponents(car: readonly Category[], rows: readonly Row[]): Categories['carComponents'] {
    const rears: ((rear: Corner) => Vector)[] = [];
    const components = rows.map(({ cause, component, sd, share }): CarComponent => {
        const pattern = carPatternNamed(component as string);
        return {
            pattern,
            place: car.findIndex((one) => one.cause === cause),
            rear: pattern.rear === null ? null : rears.push(pattern.rear) - 1,
            variance: (sd as number) * (sd as number),
            share: share as number,
        };
    });
    return {
        known: components.filter(({ pattern }) => pattern.unknown === null),
        unknown: components.filter(({ pattern }) => pattern.unknown !== null),
        rears,
    };
}

/** The categories of the rows of drift_components and car_components. Throws where a row of them cannot be used. */
export function categoriesOf(cornerRows: readonly Row[], carRows: readonly Row[]): Categories {
    const corner = cornerCategories(cornerRows);
    const isSlip = ({ cause, size }: Category) =>
        cornerRows.some((row) => row.cause === cause && row.size === size && row.pattern === 'slip');
    const causes = [...new Set(carRows.map(({ cause }) => cause as string))].sort(inOrder);
    const car = causes.map((cause) => ({ cause, size: 1 }));
    return {
        corner,
        slips: corner.flatMap((category, place) => (isSlip(category) ? [place] : [])),
        car,
        carComponents: carComponents(car, carRows),
    };
}

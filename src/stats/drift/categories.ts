import { type CarPattern, carPatternNamed } from './carPatterns.js';
import { Component } from './components.js';
import type { Front } from './corner.js';
import { type Pattern, patternNamed } from './patterns.js';

/** A cause and size class whose odds are estimated. */
export interface Category {
    cause: string;
    size: number;
    priorShare: number;
    /** Number of sessions that the prior of all causes of its level counts as. */
    priorCount: number;
}

export interface CornerCategory extends Category {
    components: readonly {
        /** Of the pattern. */
        name: string;
        patternOf: (front: Front) => Pattern | null;
        component: Component;
    }[];
    /** Whether it is weighed besides a cause on the car. */
    isSlip: boolean;
}

export interface CarCategory extends Category {
    components: readonly { pattern: CarPattern; sd: number; share: number }[];
}

export interface Categories {
    /** The first one is that the corner held. */
    corner: readonly CornerCategory[];
    /** The first one is that nothing happened to the whole car. */
    car: readonly CarCategory[];
    /** Places in `corner` of slips. */
    slips: readonly number[];
}

type Row = Readonly<Record<string, unknown>>;

/** Rows of tables drift_causes, drift_components and car_components, in any order. */
export interface CauseTables {
    drift_causes: readonly Row[];
    drift_components: readonly Row[];
    car_components: readonly Row[];
}

const byNumber = (key: string) => (a: Row, b: Row) => (a[key] as number) - (b[key] as number);

function requireCause(causes: readonly Row[], table: string, components: readonly Row[]): void {
    for (const { cause } of components) {
        if (!causes.some((row) => row.cause === cause))
            throw new Error(`${table}: ${cause} is no cause of that level in drift_causes`);
    }
}

function cornerCategories(causes: readonly Row[], components: readonly Row[]): CornerCategory[] {
    requireCause(causes, 'drift_components', components);
    return causes.flatMap(({ cause, prior_share, prior_count }) => {
        const own = components.filter((row) => row.cause === cause);
        if (own.length === 0) throw new Error(`drift_components: ${cause} has no size`);
        const sizes = [...new Set(own.map(({ size }) => size as number))].sort((a, b) => a - b);
        return sizes.map((size): CornerCategory => {
            const rows = own.filter((row) => row.size === size).sort(byNumber('component'));
            return {
                cause: cause as string,
                size,
                priorShare: (prior_share as number) * (rows[0]!.size_share as number),
                priorCount: prior_count as number,
                components: rows.map(({ pattern, mean, sd, share }) => ({
                    name: pattern as string,
                    patternOf: patternNamed(pattern as string),
                    component: new Component(mean as number, sd as number, share as number),
                })),
                isSlip: rows.some(({ pattern }) => pattern === 'slip'),
            };
        });
    });
}

function carCategories(causes: readonly Row[], components: readonly Row[]): CarCategory[] {
    requireCause(causes, 'car_components', components);
    return causes.map(({ cause, place, prior_share, prior_count }) => {
        const own = components.filter((row) => row.cause === cause);
        if (own.length === 0 && place !== 0) throw new Error(`car_components: ${cause} has no size`);
        return {
            cause: cause as string,
            size: 1,
            priorShare: prior_share as number,
            priorCount: prior_count as number,
            components: own.map(({ component, sd, share }) => ({
                pattern: carPatternNamed(component as string),
                sd: sd as number,
                share: share as number,
            })),
        };
    });
}

/** What may have happened, by the tables of causes and sizes. Throws where a row of them cannot be used. */
export function categoriesOf({ drift_causes, drift_components, car_components }: CauseTables): Categories {
    const ofLevel = (level: string) =>
        drift_causes.filter((row) => row.level === level).sort(byNumber('place'));
    const corner = cornerCategories(ofLevel('corner'), drift_components);
    return {
        corner,
        car: carCategories(ofLevel('car'), car_components),
        slips: corner.flatMap(({ isSlip }, place) => (isSlip ? [place] : [])),
    };
}

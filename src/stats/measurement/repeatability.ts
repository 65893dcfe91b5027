import { median } from '../slopes/median.js';
import { tQuantile } from '../studentT.js';
import { type Pattern, roundedSpread } from './roundedCells.js';

/** Readings (deg) of one state by one gauge and person. */
export type Cell = readonly number[];

export interface Repeatability {
    /** Variance of a reading before the display rounds it, deg2; null without a state read twice. */
    variance: number | null;
    /** Degrees of freedom of a chi-square with the same information. */
    df: number;
    /** Readings set apart as mistakes beyond doubt. */
    mistakeCount: number;
    /** Variance of a displayed reading with these, deg2. */
    varianceOfAll: number | null;
}

/** Probability that a reading without a mistake is set apart: about three in a million cells of three. */
const MISTAKEN = 1e-6;
/** From this standard deviation of what is shown on, in steps, rounding adds step^2 / 12 and nothing else (Sheppard's correction). */
const FINE = 0.6;

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

/** Sum of squares about the mean, deg2: from whole millionths above the lowest, so that no origin and no order changes a bit of it. */
function squareAbout(cell: Cell): number {
    const lowest = Math.min(...cell);
    const micro = cell.map((value) => Math.round((value - lowest) * 1e6));
    const total = sum(micro);
    return (cell.length * sum(micro.map((value) => value * value)) - total * total) / cell.length / 1e12;
}

/** Pooled variance within cells (ISO 5725-2:2019, 7.4), and its degrees of freedom. */
function pooled(cells: readonly Cell[]): { variance: number; df: number } | null {
    const df = sum(cells.map((cell) => cell.length - 1));
    const squares = cells.map(squareAbout).sort((a, b) => a - b);
    return df > 0 ? { variance: sum(squares) / df, df } : null;
}

const medianOf = (values: readonly number[]) => median(Float64Array.from(values))!;

/** Median of |x - y| for two readings of a normal distribution with standard deviation 1. */
const MEDIAN_DISTANCE = 0.9538726;
/** Cells up to this size give all their pairs, larger ones stand by their median absolute deviation. */
const PAIRED = 12;

function distances(cell: Cell): number[] {
    if (cell.length <= PAIRED)
        return cell.flatMap((value, i) => cell.slice(i + 1).map((other) => Math.abs(value - other)));
    const middle = medianOf(cell);
    const typical = 1.4826 * MEDIAN_DISTANCE * medianOf(cell.map((value) => Math.abs(value - middle)));
    return cell.map(() => typical);
}

/** What mistakes do not spoil: standard deviation from the median distance of two readings of one state, and its degrees of freedom. */
interface Usual {
    sd: number;
    df: number;
}

export function usualOf(cells: readonly Cell[]): Usual {
    return {
        sd: medianOf(cells.flatMap(distances)) / MEDIAN_DISTANCE,
        df: sum(cells.map((cell) => cell.length - 1)),
    };
}

/** Degrees of freedom from which on a gauge's own cells say what is usual of it. */
const ENOUGH = 20;

/**
 * Distance (deg) of a reading from the mean of the others, in units of its standard error, beyond which it is a mistake beyond doubt.
 * `own`: of the gauge; with few readings it is taken to be within a factor of three of `all` gauges. `step`: of its display, deg.
 */
export function mistakeLimit(own: Usual, all: Usual, step: number): number {
    const isKnown = own.df >= ENOUGH;
    const sd = isKnown ? own.sd : Math.min(Math.max(own.sd, all.sd / 3), 3 * all.sd);
    const df = isKnown ? own.df : all.df;
    return Math.max(sd, 0.6 * step, 1e-6) * tQuantile(1 - MISTAKEN / 2, Math.max(df, 5));
}

/** A cell without its mistakes: readings too far from the mean of the others; where two disagree so far, both. */
function withoutMistakes(cell: Cell, limit: number): Cell {
    const kept = [...cell];
    while (kept.length > 1) {
        const total = sum(kept);
        const distances = kept.map((value) => {
            const others = (total - value) / (kept.length - 1);
            return Math.abs(value - others) / Math.sqrt(1 + 1 / (kept.length - 1));
        });
        const farthest = distances.indexOf(Math.max(...distances));
        if (distances[farthest]! <= limit) return kept;
        if (kept.length === 2) return [];
        kept.splice(farthest, 1);
    }
    return kept;
}

function patternsOf(cells: readonly Cell[], step: number): Pattern[] {
    const counts = new Map<string, Pattern>();
    for (const cell of cells) {
        const lowest = Math.min(...cell);
        const steps = cell.map((value) => Math.round((value - lowest) / step)).sort((a, b) => a - b);
        const key = steps.join(' ');
        counts.set(key, { steps, count: (counts.get(key)?.count ?? 0) + 1 });
    }
    return [...counts].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, pattern]) => pattern);
}

/**
 * Repeatability of one gauge and person, one angle: from the variances within `cells` (each read at least twice) and their degrees of
 * freedom. Only mistakes beyond doubt are set apart, beyond `limit` of {@link mistakeLimit}. `step` (deg, 0: none) is the display's: a
 * reading counts as the interval that it stands for, so that a coarse display does not look perfect.
 */
export function repeatability(cells: readonly Cell[], step: number, limit: number): Repeatability {
    const all = pooled(cells);
    if (all === null) return { variance: null, df: 0, mistakeCount: 0, varianceOfAll: null };
    const clean = cells.map((cell) => withoutMistakes(cell, limit));
    const mistakeCount = sum(cells.map((cell, i) => cell.length - clean[i]!.length));
    const repeated = clean.filter((cell) => cell.length > 1);
    const kept = pooled(repeated);
    const found = { mistakeCount, varianceOfAll: all.variance };
    if (kept === null) return { ...found, variance: null, df: 0 };
    const rounding = (step * step) / 12;
    if (Math.sqrt(kept.variance) > FINE * step) {
        return { ...found, variance: kept.variance - rounding, df: kept.df };
    }
    const { sd, df } = roundedSpread(patternsOf(repeated, step));
    return { ...found, variance: (sd * step) ** 2, df: Math.min(df, kept.df) };
}

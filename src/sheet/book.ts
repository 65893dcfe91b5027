import type { Goal, PlaceError, Plate, Slope } from '../stats/settings/problem.js';

/** Corners of a car, in the order of the sheet. */
export const corners = ['FL', 'FR', 'RL', 'RR'] as const;
export const fronts = ['FL', 'FR'] as const;
export type CornerName = (typeof corners)[number];

/** Phases of the contract with the words of the sheet. */
export const phases = { before: 'found', moved: 'moved', after: 'left' } as const;
export type Phase = keyof typeof phases;
export const phaseNames = Object.keys(phases) as Phase[];

export const angles = ['camber', 'caster', 'toe', 'sai'] as const;
export type Angle = (typeof angles)[number];

/** Variances of readings (deg2) of one gauge and person: see sql/questions/107_reading_worths.sql. */
export interface Worth {
    one: number;
    shared: number;
    set_up: number;
    mounting: number;
    bias: number;
    bias_var: number;
    /** Of a gauge that walks: rate (deg a week), its variance, middle (weeks since 1970) and length (weeks) of the time that told of it. */
    walk: readonly [rate: number, rateVar: number, middle: number, weeks: number] | null;
}

export interface Reader {
    gauge: string | null;
    technician: string | null;
    worth: Record<Angle, Worth>;
}

/** Mean of the repeats of one state of a corner; `count` 0 = not read. */
export interface Mean {
    deg: number | null;
    count: number;
}

/** A measured state as table `states` has it. */
export interface State {
    corner: CornerName;
    visit: string;
    phase: Phase;
    /** Day as written, null = not known. */
    on: string | null;
    kit: string | null;
    plate_hand: 'left' | 'right' | null;
    plate_index: number | null;
    mark_1: number | null;
    mark_2: number | null;
    /** Null = not known. */
    place: { out_mm: number; aft_mm: number } | null;
    read_error: PlaceError | null;
    read: Record<Angle, Mean>;
    /** Mountings of the gauge that the means are of. */
    mountings: number;
    gauge: string | null;
    technician: string | null;
}

export interface Car {
    vehicle: string;
    chassis: string;
    /** Newest first. */
    states: State[];
}

/** What a millimetre does on a chassis, and what can be aimed at. */
export interface Chassis {
    chassis: string;
    slopes: { camber: Slope; caster: Slope; toe: Slope };
    goals: Goal[];
    /** The usual front corner with the original mount: median, and variance of another car. */
    usual: Record<'camber' | 'caster', { deg: number; var_deg2: number } | null>;
}

export interface Fit {
    kit: string;
    chassis: string;
    plate: Plate;
}

/** A column of the contract that the sheet takes numbers for. */
export interface NumberColumn {
    min: number;
    max: number;
    /** What is wrong beyond, `{value}` for what was typed. */
    beyond: string;
}

/** Words of a check: what is likely, and what the finding says. */
export interface CheckWords {
    title: string;
    likely: string;
}

/** Everything that a sheet knows besides what is typed: one file, or one answer of the server. */
export interface Book {
    /** Of the records: rows typed for one book and sheet stay together, whichever file they were typed in. */
    book: string;
    sheet: string;
    /** Whether a server takes the rows in. */
    served: boolean;
    made: string;
    /** How the program was started. */
    program: string;
    cars: Car[];
    chassis: Chassis[];
    fits: Fit[];
    kits: string[];
    targets: string[];
    /** Target to begin with. */
    aim: string;
    gauges: string[];
    technicians: string[];
    /** The first is anyone. */
    readers: Reader[];
    columns: Record<string, NumberColumn>;
    /** Form of a name, as a regular expression, and its most characters. */
    name: { pattern: string; length: number };
    /** Columns of the file of readings, in the order of the contract. */
    order: readonly string[];
    checks: Record<string, CheckWords>;
    /** 0.99 quantiles of chi-square over their degrees of freedom, from 1 on. */
    spread: number[];
}

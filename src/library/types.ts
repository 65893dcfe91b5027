import type { groupings } from '../contracts/results/audit.js';
import type { mostDirections } from '../units/mostDirections.js';

/** Rows as the contract has them, and what a reader must know as sentences. */
export interface Answer<R> {
    rows: R[];
    notes: string[];
}

/** One or several. */
export type Some = string | readonly string[];

/** Kit to fit, and where to look; numbers as `advise --help` has them. */
export interface AdviseQuestion extends TieRod {
    /** Car whose newest readings are asked about. */
    vehicle?: string | undefined;
    /** One or two targets; instead of them exactly one of `change`, `equal`, `most` and `backTo`. */
    target?: Some | undefined;
    /** `camber=-0.5` for both fronts, `FL.camber=-0.5` for one. */
    change?: Some | undefined;
    /** `camber`, `caster` or `camber,caster`; true = camber. */
    equal?: string | true | undefined;
    most?: (typeof mostDirections)[number] | undefined;
    /** A visit, or a day as YYYY-MM-DD. */
    backTo?: string | undefined;
    /** With `most`, degrees. */
    lose?: number | undefined;
    /** With `most`, marks. */
    margin?: number | undefined;
    /** With `most`, degrees. */
    limit?: number | undefined;
    class?: string | undefined;
    /** Degrees. */
    within?: number | undefined;
    kit?: string | undefined;
    index?: number | undefined;
    hand?: 'own' | 'other' | undefined;
    anyIndex?: boolean | undefined;
    /** Marks, default 0.5. */
    step?: number | undefined;
    /** mm. */
    toeDiameter?: number | undefined;
    /** `FL=-0.8,6.4` (camber, caster, and offsets out and aft) instead of stored readings. */
    from?: Some | undefined;
    chassis?: string | undefined;
}

export interface TieRod {
    /** Pitch of the thread, mm; with `armLength`. */
    threadPitch?: number | undefined;
    /** Length of the steering arm, mm. */
    armLength?: number | undefined;
    /** A turn counts twice. */
    bothThreads?: boolean | undefined;
}

export interface ClockingQuestion {
    /** The car, or the chassis whose median car is taken. */
    vehicle?: string | undefined;
    chassis?: string | undefined;
    /** Without it all kits that fit are compared. */
    kit?: string | undefined;
    /** One or two targets. */
    target: Some;
    /** Marks, default 0.5. */
    step?: number | undefined;
    keepCaster?: boolean | undefined;
}

export interface AuditQuestion {
    /** At most two. */
    by?: readonly (typeof groupings)[number][] | undefined;
    /** Guard band in standard uncertainties of the reading, default 1.65. */
    guard?: number | undefined;
    /** Default 30. */
    comeBackDays?: number | undefined;
    anonymous?: boolean | undefined;
}

export interface DriftQuestion {
    vehicle?: string | undefined;
    /** Day or time, `2026-05-01` or `2026-05-01T10:30`. */
    since?: string | undefined;
    /** Leave out corners that held. */
    notHeld?: boolean | undefined;
    /** File with prior odds and rules. */
    config?: string | undefined;
}

export interface PlanQuestion {
    chassis: string;
    kit?: string | undefined;
    target?: string | undefined;
    /** Half-width wanted of a slope, deg/mm; default 0.005. */
    slopeWithin?: number | undefined;
    /** Half-width wanted of a share, percentage points; default 10. */
    shareWithin?: number | undefined;
}

export interface StackQuestion {
    kit: string;
    shaft?: string | undefined;
    /** The car's own spring plate goes on; with a number, it adds so many mm. */
    keepSpringPlate?: number | true | undefined;
    /** Rules to change, `name=value`. */
    set?: Some | undefined;
    /** Stacks listed for a shaft, default 10. */
    limit?: number | undefined;
}

export interface ReportQuestion extends TieRod {
    /** Folder for the pages; made when missing. */
    out: string;
    format?: 'html' | 'svg' | 'png' | 'vl.json' | undefined;
    vehicle?: Some | undefined;
    chassis?: string | undefined;
    kit?: string | undefined;
    shaft?: string | undefined;
    target?: Some | undefined;
    anonymous?: boolean | undefined;
}

/** A part of the field; nothing named = all of it. */
export interface RangeQuestion {
    chassis?: string | undefined;
    kit?: string | undefined;
    target?: string | undefined;
    /** Class of the rules file, whose limits the cars as last read are held against. */
    class?: string | undefined;
}

export interface ExportOptions {
    /** File to write, whose ending names the format: .csv, .parquet, .arrow or .json; with `byMonth` a new folder. */
    to: string;
    byMonth?: boolean | undefined;
    /** Replace a file that is there. */
    overwrite?: boolean | undefined;
}

import type { Data } from './data.js';
import type { Arm, Trial } from './interleave.js';
import type { Command, Outcome } from './run.js';
import type { Ratio } from './summary.js';

/** What the issue asks of a line, at the size of the full run. */
export interface Goal {
    of: 'wall_ms' | 'wall_ratio' | 'peak_mb' | 'figure';
    at_most?: number;
    at_least?: number;
}

/** One line of the result: medians over the runs, ratios over the rounds. What was not measured is null. */
export interface Line {
    stage: string;
    what: string;
    run_count: number;
    wall_ms: number | null;
    cpu_ms: number | null;
    peak_mb: number | null;
    against: string | null;
    wall_ratio: Ratio | null;
    cpu_ratio: Ratio | null;
    figure: { value: number; unit: string } | null;
    goals: Goal[];
    note: string | null;
}

/** What a stage may use. */
export interface Bench {
    full: boolean;
    /** Readings of the main file. */
    size: number;
    /** Limit of DuckDB's memory for 50 million readings; null leaves them out. */
    memory: string | null;
    /** Folder for everything that the stages write. */
    folder: string;
    /** The folder `bench` of the checkout. */
    sources: string;
    data: Data;
    /** The command line of this checkout's `dist`. */
    strutmark(...args: string[]): Command;
    /** A program of `bench/programs`. */
    program(name: string, ...args: string[]): Command;
    /** Runs a process within what is left of the stage's time. */
    run(command: Command): Promise<Outcome>;
    /** Runs the arms in turn, three or `rounds` times over, within what is left of the stage's time. */
    interleave(arms: readonly Arm[], rounds?: number): Promise<Map<string, Trial>>;
}

export interface Stage {
    name: string;
    title: string;
    run(bench: Bench): Promise<Line[]>;
}

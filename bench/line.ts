import type { Trial } from './interleave.js';
import type { Goal, Line } from './stage.js';
import { median, pairedRatio } from './summary.js';

const nothing: Trial = { usages: [], stdout: '', problem: null };

/** The line of `trial`, compared round by round with `baseline` where one is given. */
export function line(
    stage: string,
    what: string,
    trial: Trial = nothing,
    rest: Partial<Pick<Line, 'figure' | 'goals' | 'note'>> & { against?: string; baseline?: Trial } = {},
): Line {
    const of = (key: 'wall_ms' | 'cpu_ms') => trial.usages.map((usage) => usage[key]);
    const base = (key: 'wall_ms' | 'cpu_ms') => (rest.baseline?.usages ?? []).map((usage) => usage[key]);
    return {
        stage,
        what,
        run_count: trial.usages.length,
        wall_ms: median(of('wall_ms')),
        cpu_ms: median(of('cpu_ms')),
        peak_mb: trial.usages.length === 0 ? null : Math.max(...trial.usages.map(({ peak_mb }) => peak_mb)),
        against: rest.against ?? null,
        wall_ratio: pairedRatio(of('wall_ms'), base('wall_ms')),
        cpu_ratio: pairedRatio(of('cpu_ms'), base('cpu_ms')),
        figure: rest.figure ?? null,
        goals: rest.goals ?? [],
        note: [trial.problem, rest.note].filter((text) => text != null).join('; ') || null,
    };
}

/** What `trial` would have cost with `factor` times the readings, at the same cost a reading. */
export function scaled(trial: Trial, factor: number): Trial {
    const usages = trial.usages.map(({ wall_ms, cpu_ms, peak_mb }) => ({
        wall_ms: wall_ms * factor,
        cpu_ms: cpu_ms * factor,
        peak_mb,
    }));
    return { ...trial, usages };
}

/** What `goal` is asked of: the value of this line, or null where it was not measured. */
function asked(result: Line, { of }: Goal): number | null {
    if (of === 'figure') return result.figure?.value ?? null;
    if (of === 'wall_ratio') return result.wall_ratio?.median ?? null;
    return result[of];
}

/** Whether `result` reaches the goal; null where it was not measured. */
export function reached(result: Line, goal: Goal): boolean | null {
    const value = asked(result, goal);
    if (value === null) return null;
    return value <= (goal.at_most ?? Infinity) && value >= (goal.at_least ?? -Infinity);
}

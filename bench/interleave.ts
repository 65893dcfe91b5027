import type { Command, Outcome, Usage } from './run.js';

/** One of the things compared: processes that run one after the other and count as one. */
export interface Arm {
    name: string;
    commands: readonly Command[];
    /** Made ready before each run, outside the clock. */
    prepare?: () => void | Promise<void>;
}

export interface Trial {
    /** One per round, in their order. */
    usages: Usage[];
    /** Output of the last run. */
    stdout: string;
    /** Why it stopped before the last round; null where it did not. */
    problem: string | null;
}

async function once(arm: Arm, run: (command: Command) => Promise<Outcome>): Promise<Outcome> {
    await arm.prepare?.();
    const usage: Usage = { wall_ms: 0, cpu_ms: 0, peak_mb: 0 };
    let stdout = '';
    for (const command of arm.commands) {
        const outcome = await run(command);
        if ('problem' in outcome) return outcome;
        usage.wall_ms += outcome.usage.wall_ms;
        usage.cpu_ms += outcome.usage.cpu_ms;
        usage.peak_mb = Math.max(usage.peak_mb, outcome.usage.peak_mb);
        stdout = outcome.stdout;
    }
    return { usage, stdout };
}

/** Runs A B A B ...: every arm once a round; one that fails is left out of the rounds that follow. */
export async function interleave(
    arms: readonly Arm[],
    rounds: number,
    run: (command: Command) => Promise<Outcome>,
): Promise<Map<string, Trial>> {
    const trials = new Map<string, Trial>();
    for (const { name } of arms) trials.set(name, { usages: [], stdout: '', problem: null });
    for (let round = 0; round < rounds; round++) {
        for (const arm of arms) {
            const trial = trials.get(arm.name)!;
            if (trial.problem !== null) continue;
            const outcome = await once(arm, run);
            if ('problem' in outcome) trial.problem = outcome.problem;
            else {
                trial.usages.push(outcome.usage);
                trial.stdout = outcome.stdout;
            }
        }
    }
    return trials;
}

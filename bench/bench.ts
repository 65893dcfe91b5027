import { join } from 'node:path';
import type { Data } from './data.js';
import { interleave } from './interleave.js';
import type { Options } from './options.js';
import { outOfTime, run } from './run.js';
import type { Bench } from './stage.js';

/** The checkout, the bundled programs, and the folder for what the stages write. */
export interface Places {
    root: string;
    programs: string;
    folder: string;
}

/** Readings of the main file. */
export function sizeOf({ full }: Options): number {
    return full ? 5_000_000 : 100_000;
}

/** What one stage may use: its processes share the stage's time from now on, at most until `end`, and none takes over half of it. */
export function benchOf(
    { root, programs, folder }: Places,
    data: Data,
    options: Options,
    { signal, end }: { signal: AbortSignal; end: number },
): Bench {
    const { full, memory, limit_ms } = options;
    const until = Math.min(performance.now() + limit_ms, end);
    const sources = join(root, 'bench');
    const preload = join(sources, 'usage.cjs');
    const node = (file: string, args: readonly string[]) => ({
        program: process.execPath,
        args: [file, ...args],
    });
    const runHere: Bench['run'] = async (command) => {
        signal.throwIfAborted();
        const left = Math.min(until - performance.now(), limit_ms / 2);
        return left <= 0 ? { problem: outOfTime } : run(command, { folder, preload, limit_ms: left, signal });
    };
    return {
        full,
        size: sizeOf(options),
        memory,
        folder,
        sources,
        data,
        strutmark: (...args) => node(join(root, 'dist', 'src', 'cli', 'main.js'), args),
        program: (name, ...args) => node(join(programs, `${name}.js`), args),
        run: runHere,
        interleave: (arms, rounds = 3) => interleave(arms, rounds, runHere),
    };
}

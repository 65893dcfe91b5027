import { spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';

export interface Command {
    program: string;
    args: readonly string[];
}

/** What a process cost: wall clock, user + system time of all its threads, and most memory held. */
export interface Usage {
    wall_ms: number;
    cpu_ms: number;
    peak_mb: number;
}

/** Problem of a process that was not over within its limit. */
export const outOfTime = 'out of time';

export type Outcome = { usage: Usage; stdout: string } | { problem: string };

export interface RunOptions {
    /** Where it runs. */
    folder: string;
    /** The file `usage.cjs`. */
    preload: string;
    limit_ms: number;
    /** Stops it before. */
    signal: AbortSignal;
}

/**
 * Runs `command` as a process of its own and tells what it cost; killed after `limit_ms`. The process writes
 * its own usage into the file BENCH_USAGE: Node through `usage.cjs`, other programs by themselves.
 */
export function run(
    command: Command,
    { folder, preload, limit_ms, signal: stop }: RunOptions,
): Promise<Outcome> {
    const usageFile = join(folder, 'usage.txt');
    rmSync(usageFile, { force: true });
    // Node reads the certificates that it names at every start: 50 ms that are nobody's here.
    const { NODE_EXTRA_CA_CERTS: _, ...environment } = process.env;
    return new Promise((resolve) => {
        const started = performance.now();
        const child = spawn(command.program, command.args, {
            cwd: folder,
            env: { ...environment, BENCH_USAGE: usageFile, NODE_OPTIONS: `--require "${preload}"` },
            stdio: ['ignore', 'pipe', 'pipe'],
            timeout: Math.max(1, Math.round(limit_ms)),
            killSignal: 'SIGKILL',
            signal: stop,
        });
        const text = { stdout: '', stderr: '' };
        for (const name of ['stdout', 'stderr'] as const) {
            child[name].setEncoding('utf8').on('data', (part: string) => {
                text[name] += part;
            });
        }
        child.on('error', (error) => resolve({ problem: error.message }));
        child.on('close', (status, signal) => {
            const wall_ms = performance.now() - started;
            if (signal === 'SIGKILL' && wall_ms >= limit_ms) {
                resolve({ problem: outOfTime });
            } else if (status !== 0 || !existsSync(usageFile)) {
                resolve({ problem: `ended with ${status ?? signal}: ${text.stderr.trim().slice(-300)}` });
            } else {
                const [user, system, peak_mb] = readFileSync(usageFile, 'utf8').split(' ').map(Number);
                resolve({
                    usage: { wall_ms, cpu_ms: user! + system!, peak_mb: peak_mb! },
                    stdout: text.stdout,
                });
            }
        });
    });
}

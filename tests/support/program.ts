import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, realpathSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { unpack } from './packed.js';

/** How a process ended, and what it said. */
export interface Ended {
    status: number | null;
    stdout: string;
    stderr: string;
}

/** Bytes of a database and its log on disk. */
const bytesOf = (database: string) =>
    ['', '.wal'].reduce(
        (sum, end) => sum + (statSync(`${database}${end}`, { throwIfNoEntry: false })?.size ?? 0),
        0,
    );

/** The packed program as the sources stand now, for tests that need real processes. */
export class Program {
    /** Script of the command line. */
    readonly main: string;
    readonly #folder: string;

    private constructor(folder: string, main: string) {
        this.#folder = folder;
        this.main = main;
    }

    /** Unpacks the tarball of the sources into a folder of its own. */
    static make(): Program {
        const folder = realpathSync(mkdtempSync(join(tmpdir(), 'program-')));
        return new Program(folder, unpack(folder));
    }

    /** Runs it to its end; `shell` is put in front, such as `ulimit -f 100;`. */
    run(words: readonly string[], cwd: string, shell = ''): Ended {
        const command = ['-c', `${shell} exec "$@"`, 'bash', process.execPath, this.main, ...words];
        const { status, stdout, stderr } = spawnSync('bash', command, {
            cwd,
            encoding: 'utf8',
        });
        return { status, stdout, stderr };
    }

    start(words: readonly string[], cwd: string): { child: ChildProcess; ended: Promise<Ended> } {
        const child = spawn(process.execPath, [this.main, ...words], { cwd });
        const ended: Ended = { status: null, stdout: '', stderr: '' };
        child.stdout.on('data', (data) => {
            ended.stdout += data;
        });
        child.stderr.on('data', (data) => {
            ended.stderr += data;
        });
        return {
            child,
            ended: new Promise((resolve) => {
                child.on('close', (status) => resolve({ ...ended, status }));
            }),
        };
    }

    /** Starts it and waits until `isUnderWay`; a process that ends before is a failure. */
    async startUntil(words: readonly string[], cwd: string, isUnderWay: () => boolean) {
        const { child, ended } = this.start(words, cwd);
        while (!isUnderWay()) {
            if (child.exitCode !== null) throw new Error((await ended).stderr);
            await setTimeout(1);
        }
        return { child, ended };
    }

    /**
     * Sends `signal` to a started process as soon as `isThere`, which its doings bring about; one that ends before is left alone.
     * Returns the most bytes that `database` and its log took meanwhile, and how the process ended.
     */
    async stop(
        { child, ended }: { child: ChildProcess; ended: Promise<Ended> },
        database: string,
        isThere: (bytes: number) => boolean,
        signal: NodeJS.Signals,
    ): Promise<Ended & { bytes: number }> {
        let bytes = 0;
        while (child.exitCode === null && child.signalCode === null) {
            const now = bytesOf(database);
            bytes = Math.max(bytes, now);
            if (isThere(now)) {
                child.kill(signal);
                break;
            }
            await setTimeout(1);
        }
        return { ...(await ended), bytes };
    }

    close(): void {
        rmSync(this.#folder, { recursive: true });
    }
}

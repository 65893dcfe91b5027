import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, realpathSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { packageRoot } from '../../src/packageRoot.js';

/** How a process ended, and what it said. */
export interface Ended {
    status: number | null;
    stdout: string;
    stderr: string;
}

/** The program as the sources stand now, for tests that need real processes. */
export class Program {
    /** Script of the command line. */
    readonly main: string;
    readonly #folder: string;

    private constructor(folder: string) {
        this.#folder = folder;
        this.main = join(folder, 'dist', 'src', 'cli', 'main.js');
    }

    /** Bundles the sources into a folder of their own. */
    static async make(): Promise<Program> {
        const root = packageRoot();
        const folder = realpathSync(mkdtempSync(join(tmpdir(), 'program-')));
        const { bundleProgram } = (await import(`${root}/scripts/bundle.mjs`)) as {
            bundleProgram(root: string, folder: string): Promise<void>;
        };
        await bundleProgram(root, join(folder, 'dist'));
        symlinkSync(join(root, 'dist', 'browser'), join(folder, 'dist', 'browser'));
        cpSync(join(root, 'sql'), join(folder, 'sql'), { recursive: true });
        for (const name of ['package.json', 'node_modules', 'reports', 'fixtures', 'shared']) {
            symlinkSync(join(root, name), join(folder, name));
        }
        return new Program(folder);
    }

    /** Runs it to its end; `shell` is put in front, such as `ulimit -f 100;`. */
    run(words: readonly string[], cwd: string, shell = ''): Ended {
        const command = ['-c', `${shell} exec "$@"`, 'bash', process.execPath, this.main, ...words];
        const { status, stdout, stderr } = spawnSync('bash', command, {
            cwd,
            encoding: 'utf8',
            timeout: 300_000,
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

    close(): void {
        rmSync(this.#folder, { recursive: true });
    }
}

import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { Ended } from './program.js';

const runner = fileURLToPath(new URL('packedProgram.mjs', import.meta.url));

/** The packed program in one process of a Node for many command lines; reading its bundle anew for each takes longer than most answers. */
export class PackedProgram {
    readonly #child: ChildProcess;

    constructor(main: string, node: string = process.execPath) {
        this.#child = spawn(node, [runner, main], { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    }

    /** Runs the command line `words` in the folder `cwd`, on a terminal of `columns` where they are given. */
    async run(words: readonly string[], cwd: string, columns?: number): Promise<Ended> {
        const child = this.#child;
        const gone = new AbortController();
        const ended = once(child, 'exit', { signal: gone.signal }).then(([status, signal]) => {
            throw new Error(`strutmark ${words.join(' ')}: the process ended with ${status ?? signal}`);
        });
        ended.catch(() => undefined);
        child.send({ words, cwd, columns });
        try {
            const [answer] = await Promise.race([once(child, 'message'), ended]);
            return answer as Ended;
        } finally {
            gone.abort();
        }
    }

    close(): void {
        this.#child.disconnect();
    }
}

import { vi } from 'vitest';
import { runProgram } from '../../src/cli/program.js';

export interface Said {
    status: number;
    out: string;
    err: string;
}

/** Runs the command line `words` in this process and gives back its exit status and what it wrote. */
export const inProcess = (...words: string[]): Promise<Said> =>
    stoppable(new AbortController().signal, ...words);

/** The same; `signal` stands for Ctrl-C. */
export async function stoppable(signal: AbortSignal, ...words: string[]): Promise<Said> {
    const said: Said = { status: 0, out: '', err: '' };
    const catching = (stream: NodeJS.WriteStream, name: 'out' | 'err') =>
        vi.spyOn(stream, 'write').mockImplementation((text) => {
            said[name] += text;
            return true;
        });
    const spies = [catching(process.stdout, 'out'), catching(process.stderr, 'err')];
    try {
        said.status = await runProgram(words, signal);
    } finally {
        for (const spy of spies) spy.mockRestore();
    }
    return said;
}

import { outputUnwritable } from '../errors/messages.js';
import { systemReason } from '../errors/systemReason.js';
import { runProgram } from './program.js';

/** The process of one command line. */
export async function main(): Promise<void> {
    const controller = new AbortController();
    process.once('SIGINT', () => controller.abort());
    process.once('SIGTERM', () => controller.abort());
    process.stdout.on('error', (error: NodeJS.ErrnoException) => {
        if (error.code === 'EPIPE') process.exit(0);
        process.stderr.write(`error: ${outputUnwritable(systemReason(error))}\n`);
        process.exit(1);
    });
    // Nobody is left to be told.
    process.stderr.on('error', () => undefined);
    process.exitCode = await runProgram(process.argv.slice(2), controller.signal);
}

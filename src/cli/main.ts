#!/usr/bin/env node
import { runProgram } from './program.js';

const controller = new AbortController();
process.once('SIGINT', () => controller.abort());
process.once('SIGTERM', () => controller.abort());
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0);
    throw error;
});
process.exitCode = await runProgram(process.argv.slice(2), controller.signal);

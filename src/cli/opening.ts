import type { Command } from 'commander';
import type { OpenDatabaseOptions } from '../db/openDatabase.js';
import { Patience } from '../db/patience.js';
import type { Context } from './command.js';

/**
 * How a command opens its database: --wait while another process holds it, --memory, and a line for people where that, or a
 * migration, happens.
 */
export function opening(
    command: Command,
    context: Context,
): Pick<OpenDatabaseOptions, 'patience' | 'say' | 'memoryLimit'> {
    const output = context.output(command);
    const say = (text: string) => output.aside(text);
    const { wait, memory } = context.options(command);
    return { patience: new Patience(wait ?? 0, context.signal, say), say, memoryLimit: memory };
}

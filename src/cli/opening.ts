import type { OpenDatabaseOptions } from '../db/openDatabase.js';
import { Patience } from '../db/patience.js';
import type { Context } from './command.js';

/**
 * How a command opens its database: --wait while another process holds it, --memory, a line for people where that, or a
 * migration, happens, and Ctrl-C.
 */
export function opening(
    context: Context,
): Pick<OpenDatabaseOptions, 'patience' | 'say' | 'memoryLimit' | 'signal'> {
    const { output } = context;
    const say = (text: string) => output.aside(text);
    const { wait, memory } = context.options;
    const { signal } = context;
    return { patience: new Patience(wait ?? 0, signal, say), say, memoryLimit: memory, signal };
}

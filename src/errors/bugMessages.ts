import { programName } from './programName.js';

/** A word of a command line as a shell takes it. */
const shellWord = (word: string) =>
    /^[\w./:=@%+,-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;

/** `words`: the command line behind the name of the program. `debugged`: what it prints with --debug follows. */
export function bugOfOurs(
    reason: string,
    words: readonly string[],
    version: string,
    debugged: boolean,
): string {
    const command = `${programName('')} ${words.map(shellWord).join(' ')}`;
    const send = 'the command, and a database or files with which it happens';
    return [
        `This is a bug of Strutmark ${version}, not of your data: ${reason}`,
        `command: ${command}`,
        debugged
            ? `Report it to whoever maintains Strutmark: send all that is printed here, ${send}. Look through it for names first.`
            : `Run it again with --debug, and report it to whoever maintains Strutmark: send all that is printed then, ${send}. Look through it for names first.`,
    ].join('\n');
}

/** What --debug adds for those who mend the bug. */
export const bugDetails = (system: string, query: string | undefined, stack: string) =>
    [`system: ${system}`, ...(query === undefined ? [] : [`query:\n${query.trim()}`]), stack].join('\n');

/** What is said about a database as a whole: held by another process, older than this program, not to be copied. */

const holder = (owner: string | null) => (owner === null ? 'another process' : `another process (${owner})`);

/** `waitedSeconds` that --wait has taken already. */
export const databaseLocked = (file: string, owner: string | null, waitedSeconds: number) =>
    waitedSeconds === 0
        ? `${file} is in use by ${holder(owner)}. Wait until it ends, or let --wait SECONDS do so, or name another database with --db.`
        : `${file} is still in use by ${holder(owner)} after ${waitedSeconds.toFixed(1)} s. Wait longer, end that process, or name another database with --db.`;

export const databaseAwaited = (file: string, owner: string | null, seconds: number) =>
    `${file} is in use by ${holder(owner)}: waiting for up to ${seconds} s, Ctrl-C ends it.`;

/** Whoever only asks reads a database whose tables are up to date; else it has to be written to. */
export const databaseReadOnly = (file: string, reason: string) =>
    `${file} has to be written to, for rows that come in or tables that are out of date, and cannot be: ${reason}. Give yourself the right to write to it and to its folder, or copy it to a folder of yours and name the copy with --db.`;

export const databaseUnreadable = (file: string, reason: string) =>
    `${file} cannot be read: ${reason}. Give yourself the right to read it, or name another database with --db.`;

export const cannotMakeDatabase = (file: string, reason: string) =>
    `The database ${file} cannot be made: ${reason}. Name a file with --db in a folder that exists and that you may write to.`;

/** For commands that take no files in. */
export const diskFullMeanwhile = () =>
    'The disk is full, or a file would grow larger than it allows. The database is as it was; what the command was to write elsewhere is not whole. Free some space and run it again.';

/** `asked`: what --memory says, if anything. */
export function outOfMemory(asked: string | undefined): string {
    const limit =
        asked === undefined
            ? 'the memory that it may take, 80 % of what this machine has'
            : `--memory ${asked}`;
    return `The database needs more than ${limit}. Name a larger size with --memory, or close other programs; what was finished stays, and the next run goes on from there.`;
}

export function migrated(file: string, from: number, to: number, backup: string): string {
    if (from === to) {
        return `${file} lacked tables or columns that this version knows; they were added, blank. A copy as it was: ${backup}`;
    }
    return `${file} was of an older schema (${from}) and is now of schema ${to}. A copy as it was: ${backup}`;
}

export const noBackup = (file: string, backup: string, reason: string) =>
    `${file} is of an older schema and has to be brought up to date, but the copy to be kept beside it, ${backup}, cannot be written: ${reason}. Free some space, or give yourself the right to write there; the database is as it was.`;

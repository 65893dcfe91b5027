/** What an error says to a program: stable, whatever the words for people are. */
export const errorCodes = {
    usage: 'the question itself cannot be asked so',
    no_database: 'the database file does not exist',
    not_a_database: 'the file is no database of this program',
    newer_database: 'a newer version of the program wrote the database',
    database_locked: 'another process holds the database',
    no_readings: 'the database holds no readings yet',
    unknown_name: 'a car, kit, target, chassis, load or table of that name is not known',
    not_in_data: 'the data lack what the answer needs',
    file: 'a file, map or folder cannot be taken as it is',
    cannot_write: 'a file or folder cannot be written, or is there already',
    disk_full: 'the disk is full',
    out_of_memory: 'the memory limit is too low',
    stopped: 'the caller stopped it',
} as const;

export type ErrorCode = keyof typeof errorCodes;

/** Something the user can mend: exit status 1. The message says what, where and how to mend. */
export class UserError extends Error {
    override name = 'UserError';
    readonly code: ErrorCode;

    constructor(message: string, code: ErrorCode = 'file') {
        super(message);
        this.code = code;
    }
}

/** The question itself is wrong: exit status 2. */
export class UsageError extends Error {
    override name = 'UsageError';
    readonly code: ErrorCode = 'usage';
}

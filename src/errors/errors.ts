/** Something the user can mend: exit status 1. The message says what, where and how to mend. */
export class UserError extends Error {
    override name = 'UserError';
}

/** The command line itself is wrong: exit status 2. */
export class UsageError extends Error {
    override name = 'UsageError';
}

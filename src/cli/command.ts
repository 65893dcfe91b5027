import type { Command } from 'commander';
import type { Output } from './output.js';

/** Options that every command takes. */
export interface GlobalOptions {
    db: string;
    /** Folder of Parquet files with readings beside those of the database. */
    readings?: string | undefined;
    /** Seconds to wait while another process holds the database. */
    wait?: number | undefined;
    /** Memory that the database may take, such as 2GB. */
    memory?: string | undefined;
    json?: boolean;
    quiet?: boolean;
    debug?: boolean;
    /** All columns of a table, whatever the terminal takes. */
    wide?: boolean;
}

/** What a command gets from outside: nothing in `src/cli/commands` reaches for globals. Options are known once its action runs. */
export interface Context {
    readonly options: GlobalOptions;
    readonly output: Output;
    /** Aborts on Ctrl-C. */
    signal: AbortSignal;
    setExitCode(code: 0 | 1 | 3 | 70): void;
}

/**
 * One command = one file in `src/cli/commands`, found by its file name.
 * `build` only declares options and an action; the action imports the library lazily.
 */
export interface CommandModule {
    describe: string;
    /** Words for --help behind the name of the program; they work on the season that demo loads. */
    example: string;
    build(command: Command, context: Context): void;
}

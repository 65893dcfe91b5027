import type { TableContract } from '../contracts/table.js';

/** One file on its way into the database. */
export interface FileLoad {
    loadId: number;
    file: string;
    byteCount: number;
    contract: TableContract;
    /** Contract column of each column of the file. */
    names: readonly string[];
    replace: boolean;
    /** Earlier load whose rows give way to the rows of this file, with the same content too; null = none. */
    insteadOf: number | null;
    /** No row of the kind is stored yet: the file can clash with itself only. */
    intoEmptyTable: boolean;
}

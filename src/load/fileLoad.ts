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
    /** No row of the kind is stored yet: the file can clash with itself only. */
    intoEmptyTable: boolean;
}

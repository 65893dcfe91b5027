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
}

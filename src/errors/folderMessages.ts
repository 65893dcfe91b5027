import { programName } from './programName.js';
import { counted } from './words.js';

const again = `Name a folder of Parquet files as "${programName('')} export readings --by-month --to DIR" writes it.`;

export function folderUnreadable(folder: string, code: string): string {
    const reason =
        { ENOENT: 'there is no such folder', ENOTDIR: 'it is no folder', EACCES: 'you may not read it' }[
            code
        ] ?? code;
    return `--readings ${folder}: ${reason}. ${again}`;
}

export const folderWithoutParquet = (folder: string) =>
    `--readings ${folder}: no file in it ends in .parquet. ${again}`;

export const fileOutsideFolder = (file: string, folder: string) =>
    `--readings ${folder}: ${file} is a link to a file outside of the folder. Put the file itself there.`;

export const notParquet = (file: string, reason: string) =>
    `--readings: ${file} cannot be read as Parquet: ${reason}. Take it out of the folder, or write it again.`;

export function folderColumns(file: string, unknown: readonly string[], missing: readonly string[]): string {
    const faults = [
        ...(missing.length > 0 ? [`lacks ${missing.join(', ')}`] : []),
        ...(unknown.length > 0 ? [`has ${unknown.join(', ')}, which the contract does not know`] : []),
    ];
    return `--readings: ${file} ${faults.join(' and ')}. Its columns must be those of a readings file (shared/templates/readings.csv shows them).`;
}

export const folderMixed = (one: string, other: string) =>
    `--readings: ${one} and ${other} lie in folders of other names (such as chassis=NEWT), so that one lacks a column. Put all files into folders of the same names, or give each file all columns.`;

export const folderUnfit = (folder: string, reason: string) =>
    `--readings ${folder}: a file is damaged, or has a column of another type than the others have: ${reason}. Write it again, with the types of the others.`;

interface FolderFault {
    file: string;
    row: number;
    column: string;
    reason: string;
}

export function folderRows(faults: readonly FolderFault[], count: number): string {
    const shown = faults.map(
        ({ file, row, column, reason }) => `\n  ${file} row ${row}, ${column}: ${reason}`,
    );
    const rows = counted(count, 'row of the folder breaks', 'rows of the folder break');
    return `--readings: ${rows} the contract, so none is used:${shown.join('')}${count > faults.length ? '\n  ...' : ''}\nMend the file, or load the rows from CSV, where single rows can be set aside.`;
}

export function folderTwice(faults: readonly FolderFault[], count: number): string {
    const shown = faults.map(({ file, row, reason }) => `\n  ${file} row ${row}: ${reason}`);
    const keys = counted(count, 'reading is', 'readings are');
    return `--readings: ${keys} there twice (same vehicle, corner, visit, phase and repeat), in the folder or in the database too:${shown.join('')}${count > faults.length ? '\n  ...' : ''}\nKeep each reading in one place: take the file out of the folder, or use another database with --db.`;
}

import { programName } from './programName.js';

/** Every sentence that the program says to a user about something to mend: what, where, how to mend. */

export * from './auditMessages.js';
export * from './bugMessages.js';
export * from './checkMessages.js';
export * from './databaseMessages.js';
export * from './driftMessages.js';
export * from './folderMessages.js';
export * from './forgetMessages.js';
export * from './loadMessages.js';
export * from './mapMessages.js';
export * from './settingMessages.js';
export * from './shareMessages.js';
export * from './stackMessages.js';

export const notADatabase = (file: string, reason: string) =>
    `${file} cannot be opened as a Strutmark database: ${reason}. Name another file with --db, or move this one away to start anew.`;

export const newerSchema = (file: string, found: number, known: number) =>
    `${file} was written by a newer Strutmark (schema ${found}, this one knows ${known}). Update Strutmark, or load the CSV files into a new database with --db.`;

export const noDatabase = (file: string) =>
    `There is no database ${file}. Load readings first: ${programName()} load FILE..., or name the database with --db.`;

export const noReadings = () =>
    `The database holds no readings yet. Load a readings file: ${programName()} load FILE...`;

/** `meant`: the known name that was likely meant. */
export function unknownName(
    what: string,
    name: string,
    known: readonly string[],
    meant: string | null = null,
): string {
    const list =
        known.length === 0
            ? 'none is loaded'
            : `known: ${known.slice(0, 60).join(', ')}${known.length > 60 ? ', ...' : ''}`;
    const question = meant === null ? '' : `. Did you mean "${meant}"?`;
    return `There is no ${what} "${name}" in the database${question} (${list}).`;
}

export const notASize = (text: string) =>
    `--memory takes a number and its unit, as 512MB, 2GB or 1.5GiB; "${text}" is none.`;

export const unknownReport = (name: string, known: readonly string[]) =>
    `There is no report "${name}". Name one of: ${known.join(', ')}.`;

/** Of an option that some of the pages asked for do not take. */
export const notTaken = (option: string, pages: readonly string[], takers: readonly string[]) =>
    `${pages.length === 1 ? `Page ${pages[0]} takes` : `Pages ${pages.join(', ')} take`} no ${option}; what takes it: ${takers.join(', ')}. Leave it out, or ask for those by themselves.`;

export const unknownExportFormat = (file: string, formats: readonly string[]) =>
    `The ending of ${file} names no format. Use one of ${formats.map((format) => `.${format}`).join(', ')}.`;

export const exportExists = (file: string) =>
    `${file} exists already. Name another file, or let --overwrite replace it.`;

export const noMonths = (table: string) =>
    `Table ${table} has no column measured_at to be cut by months. Leave --by-month out and name a file.`;

export const noFolder = (folder: string, reason: string) =>
    `${folder} cannot be the folder to write to: ${reason}. Name another folder.`;

/** A page without a picture in the format that was asked for. */
export const nothingDrawn = (name: string, format: string) =>
    `The page ${name} has no picture to write as ${format}: ${format === 'vl.json' ? 'its pictures are drawings, which --format svg or png writes' : 'nothing that it draws is loaded yet'}. ${programName()} report ${name} --out DIR writes the page with the reason.`;

/** The answer was made and had nowhere to go. */
export const outputUnwritable = (reason: string) =>
    `The answer cannot be written to where stdout goes: ${reason}. Send it elsewhere, or make room there, and ask again.`;

export const refused = (path: string, reason: string) =>
    `${path} cannot be used: ${reason}. Check the path and your rights there; the database is as it was.`;

export const cannotWrite = (file: string, reason: string) =>
    `${file} cannot be written: ${reason}. Name a file in a folder that exists, that you may write to and that has room.`;

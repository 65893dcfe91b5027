import { programName } from './programName.js';

/** Sentences about shared files and keys that do not serve. */

import { counted, listed, shellPath } from './words.js';

const anew = `Ask the site to write it anew with ${programName('')} share, and do not edit it.`;

export const shareEnding = (file: string) => `${file} is not a shared file: its name must end in .parquet.`;

export function noShare(file: string, code: string): string {
    const reason =
        { ENOENT: 'there is no such file', EACCES: 'you may not read it', EISDIR: 'it is a folder' }[code] ??
        code;
    return `${file} cannot be read: ${reason}. Name the files that the sites wrote with ${programName('')} share.`;
}

export const notAShare = (file: string, reason: string) =>
    `${file} is not a file that ${programName('')} share wrote, or it is damaged: ${reason}. ${anew}`;

export const otherShareVersion = (file: string, found: string, known: number) =>
    `${file} has version ${found} of the shared file, and this Strutmark reads version ${known}. Use the same Strutmark at every site, and write the file anew.`;

/** What breaks the contract of a shared file. */
export interface ShareFault {
    /** Row of the file from 1; null: the file as a whole. */
    row: number | null;
    kind: string | null;
    column: string | null;
    /** The cell as text. */
    value: string | null;
    /** The value is what tells the rows of its kind apart, and an earlier row has it. */
    isAgain?: boolean;
}

export function brokenShare(file: string, { row, kind, column, value, isAgain = false }: ShareFault): string {
    const where = row === null ? file : `${file}, row ${row}`;
    const what = [kind ?? 'row without a kind', ...(column === null ? [] : [column])].join(', ');
    const wrong = isAgain
        ? 'stands in an earlier row too, so the file holds one row twice'
        : 'is not what a shared file may hold there';
    return `${where} (${what}): ${value ?? 'nothing'} ${wrong} (shared/share.datapackage.json). ${anew}`;
}

export const unshareable = ({ kind, column, value }: ShareFault) =>
    `Nothing was written: a ${kind} would hold ${value === null ? 'no' : value} ${column ?? ''}, outside what a shared file may hold. The readings, or a kit's mark_pitch_mm, hold a mistake there: ${programName()} check lists what looks wrong.`;

export const sameSite = (first: string, second: string) =>
    `${first} and ${second} come from one site, so its cars would count twice. Name the newer of the two only. (Two sites with one key look the same: each needs a key of its own.)`;

/** A car of a shared file by its pseudonym. */
interface SharedCar {
    file: string;
    vehicle: string;
}

const named = ({ file, vehicle }: SharedCar) => `${vehicle} of ${file}`;

/** `cars`: each pair has the same moves. */
export function carsTwice(cars: readonly { first: SharedCar; again: SharedCar }[]): string {
    const shown = cars.slice(0, 5).map(({ first, again }) => `${named(again)} = ${named(first)}`);
    const more = cars.length > shown.length ? `; and ${cars.length - shown.length} more` : '';
    const which = counted(cars.length, 'car has all its', 'cars have all their');
    return `${which} moves, with the same angles to the last digit, under another pseudonym too, so standard errors would come out too small: ${shown.join('; ')}${more}. If one database was shared under two keys, name the newer file of it only; if a car is known to two sites, or by two names to one, --once counts it once.`;
}

export const countedOnce = (count: number) =>
    `${counted(count, 'car stands', 'cars stand')} under a second pseudonym with the same moves, and count once. Where a file holds other cars besides, what gauges repeat counts for both files.`;

/** `codes`: each the spellings of one, quoted. */
export const splitCodes = (codes: readonly string[]) =>
    `Chassis codes that differ only in letter case, spaces or dashes are pooled apart: ${listed(codes)}. If they are one platform, let the site with the other spelling correct it, load the rows again and share anew.`;

export const notAKey = (file: string, reason: string) =>
    `${file} cannot be used as the key: ${reason}. Name the right file with --key, or one that does not exist yet to make a key there; with another key the same cars get other pseudonyms.`;

export const keyIsOpen = (file: string) =>
    `${file} can be read by others on this computer, and who has the key can find the names behind the pseudonyms: chmod 600 ${shellPath(file)}`;

export const noKitInFile = (file: string) =>
    `${file} holds no kit. Give a kits file with a row for each plate that is to be judged: kit, mark_pitch_mm, mark_min, mark_max and where the slot lies.`;

export const kitFileFaulty = (
    file: string,
    { line, column, reason }: { line: number; column: string | null; reason: string },
) =>
    `${file} line ${line}${column === null ? '' : `, column ${column}`}: ${reason}. Mend the row; a plate that is not as meant would give another answer.`;

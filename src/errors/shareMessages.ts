/** Sentences about shared files and keys that do not serve. */

import { shellWord } from './words.js';

const anew = 'Ask the site to write it anew with strutmark share, and do not edit it.';

export function shareEnding(file: string): string {
    return `${file} is not a shared file: its name must end in .parquet.`;
}

export function noShare(file: string, code: string): string {
    const reason =
        { ENOENT: 'there is no such file', EACCES: 'you may not read it', EISDIR: 'it is a folder' }[code] ??
        code;
    return `${file} cannot be read: ${reason}. Name the files that the sites wrote with strutmark share.`;
}

export function notAShare(file: string, reason: string): string {
    return `${file} is not a file that strutmark share wrote, or it is damaged: ${reason}. ${anew}`;
}

export function otherShareVersion(file: string, found: string, known: number): string {
    return `${file} has version ${found} of the shared file, and this Strutmark reads version ${known}. Use the same Strutmark at every site, and write the file anew.`;
}

/** `row`: row of the file, null for the whole; `value`: the cell as text. */
export function brokenShare(
    file: string,
    {
        row,
        kind,
        column,
        value,
    }: { row: number | null; kind: string | null; column: string | null; value: string | null },
): string {
    const where = row === null ? file : `${file}, row ${row}`;
    const what = [kind ?? 'row without a kind', ...(column === null ? [] : [column])].join(', ');
    return `${where} (${what}): ${value === null ? 'nothing' : value} is not what a shared file may hold there (shared/share.datapackage.json). ${anew}`;
}

export function unshareable(kind: string | null, column: string | null, value: string | null): string {
    return `Nothing was written: a ${kind} would hold ${value === null ? 'no' : value} ${column ?? ''}, outside what a shared file may hold. The readings, or a kit's mark_pitch_mm, hold a mistake there: strutmark check lists what looks wrong.`;
}

export function sameSite(first: string, second: string): string {
    return `${first} and ${second} come from one site, so its cars would count twice. Name the newer of the two only. (Two sites with one key look the same: each needs a key of its own.)`;
}

export function notAKey(file: string, reason: string): string {
    return `${file} cannot be used as the key: ${reason}. Name the right file with --key, or one that does not exist yet to make a key there; with another key the same cars get other pseudonyms.`;
}

export function keyIsOpen(file: string): string {
    return `${file} can be read by others on this computer, and who has the key can find the names behind the pseudonyms: chmod 600 ${shellWord(file)}`;
}

import { existsSync, linkSync, renameSync, rmSync } from 'node:fs';

/** Gives the whole file `part` the name `file` in one step; false, and `part` stays, where that name is taken. */
export function placeFile(part: string, file: string): boolean {
    try {
        linkSync(part, file);
    } catch {
        if (existsSync(file)) return false;
        // The file system knows no links.
        renameSync(part, file);
        return true;
    }
    rmSync(part);
    return true;
}

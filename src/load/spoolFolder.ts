import { lstatSync, mkdtempSync, readdirSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isRunning } from '../db/isRunning.js';
import { UserError } from '../errors/errors.js';
import { noTemporaryFolder } from '../errors/loadMessages.js';

/**
 * A folder that only this user may enter, for the spool; the caller removes it. Its name tells of which process it is.
 * Throws a {@link UserError} when it cannot be made.
 */
export function spoolFolder(): string {
    try {
        return realpathSync(mkdtempSync(join(tmpdir(), `strutmark-${process.pid}-`)));
    } catch (error) {
        throw new UserError(noTemporaryFolder(tmpdir(), (error as Error).message), 'cannot_write');
    }
}

/** Removes the spools that killed processes of this user have left. */
export function removeStaleSpools(): void {
    try {
        for (const name of readdirSync(tmpdir())) {
            const pid = /^strutmark-(\d+)-/.exec(name)?.[1];
            if (pid === undefined || isRunning(Number(pid))) continue;
            const path = join(tmpdir(), name);
            const stats = lstatSync(path);
            if (stats.isDirectory() && stats.uid === process.getuid?.()) rmSync(path, { recursive: true });
        }
    } catch {
        // Another load removes them at the same time, or the folder may not be listed: no reason not to load.
    }
}

import { lstatSync, mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { UserError } from '../errors/errors.js';
import { noFolder } from '../errors/messages.js';
import { systemReason } from '../errors/systemReason.js';

const isThere = (path: string) => lstatSync(path, { throwIfNoEntry: false }) !== undefined;

function missingFolders(folder: string): string[] {
    const missing: string[] = [];
    for (let at = resolve(folder); !isThere(at); at = dirname(at)) missing.unshift(at);
    return missing;
}

/**
 * Makes `folder`, and those above it, where they are missing; throws a {@link UserError} where it cannot be a folder. Node's own way
 * of making them all tries without end where a file system, such as /proc, answers that the folder above is not there.
 */
export function makeFolder(folder: string): void {
    try {
        for (const missing of missingFolders(folder)) mkdirSync(missing);
        if (!statSync(folder).isDirectory())
            throw new UserError(noFolder(folder, 'it is a file'), 'cannot_write');
    } catch (error) {
        if (error instanceof UserError) throw error;
        const { code } = error as NodeJS.ErrnoException;
        const leadsNowhere = code === 'ENOENT' && isThere(resolve(folder));
        throw new UserError(
            noFolder(folder, leadsNowhere ? 'it is a link that leads nowhere' : systemReason(error)),
            'cannot_write',
        );
    }
}

import { createHmac, randomBytes } from 'node:crypto';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { UserError } from '../errors/errors.js';
import { keyIsOpen, notAKey } from '../errors/messages.js';
import { systemReason } from '../errors/systemReason.js';

/** The secret of one site: who has it can find out which pseudonym stands for which name. */
export interface ShareKey {
    /** Pseudonym of `name`: HMAC-SHA-256 (RFC 2104) with the key, first 128 bits as hexadecimal digits. */
    pseudonym(subject: 'site' | 'vehicle' | 'gauge', name: string): string;
    /** The key was made by this call. */
    isNew: boolean;
    /** What the user should mend, or null. */
    warning: string | null;
}

const keyLine = /^[0-9a-f]{64}\n?$/;

/** Makes the file unless there is one; whether it did. */
function makeKey(file: string): boolean {
    try {
        writeFileSync(file, `${randomBytes(32).toString('hex')}\n`, { mode: 0o600, flag: 'wx' });
        return true;
    } catch (error) {
        if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
        throw new UserError(notAKey(file, systemReason(error)), 'cannot_write');
    }
}

function readKey(file: string): string {
    try {
        return readFileSync(file, 'latin1');
    } catch (error) {
        throw new UserError(notAKey(file, (error as Error).message));
    }
}

/**
 * The key in `file`: 256 random bits as 64 hexadecimal digits. A missing file is made, for its owner's eyes only (mode 0600).
 * Throws a {@link UserError} on a file that holds something else or cannot be made.
 */
export function shareKey(file: string): ShareKey {
    const isNew = makeKey(file);
    const text = readKey(file);
    if (!keyLine.test(text)) throw new UserError(notAKey(file, 'it does not hold 64 hexadecimal digits'));
    const key = Buffer.from(text.trim(), 'hex');
    const isOpen = process.platform !== 'win32' && (statSync(file).mode & 0o077) !== 0;
    return {
        pseudonym: (subject, name) =>
            createHmac('sha256', key).update(`${subject}\0${name}`).digest('hex').slice(0, 32),
        isNew,
        warning: isOpen ? keyIsOpen(file) : null,
    };
}

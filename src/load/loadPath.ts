import { realpathSync } from 'node:fs';
import { resolve } from 'node:path';

/** `file` without links and relative parts, as table `loads` keeps it; it need not be there. */
export function loadPath(file: string): string {
    try {
        return realpathSync(file);
    } catch {
        return resolve(file);
    }
}

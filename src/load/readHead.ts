import { closeSync, openSync, readSync } from 'node:fs';

/** The first bytes of a file, at most `most`. */
export function readHead(path: string, most: number): Buffer {
    const handle = openSync(path, 'r');
    try {
        const head = Buffer.alloc(most);
        return head.subarray(0, readSync(handle, head));
    } finally {
        closeSync(handle);
    }
}

import { statSync } from 'node:fs';

/** With their models the example season has 9 MB, 100,000 readings 150 MB. */
const SMALL_BYTES = 80e6;

/** Whether `files` are so small, all together, that several threads and compression cost CPU and save no time. One that is missing counts nothing. */
export function areSmall(...files: readonly string[]): boolean {
    const bytes = files.map((file) => statSync(file, { throwIfNoEntry: false })?.size ?? 0);
    return bytes.reduce((sum, size) => sum + size, 0) <= SMALL_BYTES;
}

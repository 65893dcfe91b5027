/** Whether `error`, of Node or of DuckDB, says that no more can be written: the disk, a quota or the largest size of a file is reached. */
export function isDiskFull(error: unknown): boolean {
    const { code, message } = error as NodeJS.ErrnoException;
    if (code !== undefined) return ['ENOSPC', 'EDQUOT', 'EFBIG'].includes(code);
    return /no space left|disk quota|file too large|failed to offload data/i.test(message);
}

/** Whether `error` of DuckDB says that its memory limit was reached by what cannot go to disk. */
export const isOutOfMemory = (error: unknown) => /^Out of Memory Error/.test((error as Error).message);

/** Whether `error` says that a query was stopped from outside, or not begun after that. */
export function isInterrupted(error: unknown): boolean {
    const { name, message } = error as Error;
    return name === 'AbortError' || message.startsWith('INTERRUPT');
}

const reasons: Record<string, string> = {
    EACCES: 'you have no permission',
    EPERM: 'you have no permission',
    EROFS: 'the file system is read-only',
    ENOENT: 'there is no such folder',
    ENOTDIR: 'a part of its path is no folder',
    EISDIR: 'it is a folder',
    EEXIST: 'it is there already',
    ELOOP: 'its links lead in a circle',
    ENAMETOOLONG: 'the name is too long',
    ENOSPC: 'the disk is full',
    EDQUOT: 'your share of the disk is full',
    EFBIG: 'it would grow larger than a file may',
    EXDEV: 'it lies on another disk',
    EBUSY: 'something else uses it',
};

/** Why the operating system did not write a file, in words. */
export function systemReason(error: unknown): string {
    const { code, message } = error as NodeJS.ErrnoException;
    return reasons[code ?? ''] ?? code ?? message;
}

/** Where the operating system refused, in Node or DuckDB, what the program asked of a file, and why; null where `error` is another. */
export function refusal(error: unknown): { path: string; reason: string } | null {
    if (!(error instanceof Error)) return null;
    const { code, message, path, dest } = error as NodeJS.ErrnoException & { dest?: string };
    const [, opened, why] = /Cannot open file "(.+?)": (.+)/.exec(message) ?? [];
    if (opened !== undefined) return { path: opened, reason: why! };
    // What is not there may be a file of ours.
    if (path === undefined || code === 'ENOENT' || !Object.hasOwn(reasons, code ?? '')) return null;
    return { path: dest ?? path, reason: systemReason(error) };
}

import { userInfo } from 'node:os';
import { text } from '../contracts/columns.js';
import { UsageError } from '../errors/errors.js';
import { becauseMissing, byMissing, notPlain } from '../errors/messages.js';
import type { Reason } from '../load/forget/voidRows.js';

const plain = text('free text');

function checked(option: string, value: string): string {
    const { success, data } = plain.safeParse(value.trim());
    if (!success) throw new UsageError(notPlain(option));
    return data;
}

/** Who changes something: `by`, else the name of the system's user; a {@link UsageError} where there is none. */
export function personOf(by: string | undefined): string {
    if (by !== undefined) return checked('--by', by);
    try {
        return userInfo().username;
    } catch {
        throw new UsageError(byMissing());
    }
}

/** Who voids rows and why; a {@link UsageError} where that is not told, but in a dry run. */
export function reasonOf(
    { by, because }: { by?: string | undefined; because?: string | undefined },
    dryRun: boolean,
): Reason {
    if (because === undefined && !dryRun) throw new UsageError(becauseMissing());
    return { by: personOf(by), because: because === undefined ? '' : checked('--because', because) };
}

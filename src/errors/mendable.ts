import { diskFullMeanwhile, outOfMemory } from './databaseMessages.js';
import { UserError } from './errors.js';
import { isDiskFull, isOutOfMemory } from './exhausted.js';
import { refused } from './messages.js';
import { refusal } from './systemReason.js';

/** `error` as one that the user can mend, in words; null for others. `memory`: the memory limit that was asked for. */
export function mendable(error: unknown, memory: string | undefined): UserError | null {
    if (error instanceof UserError) return error;
    if (isDiskFull(error)) return new UserError(diskFullMeanwhile(), 'disk_full');
    if (isOutOfMemory(error)) return new UserError(outOfMemory(memory), 'out_of_memory');
    const refusing = refusal(error);
    return refusing === null ? null : new UserError(refused(refusing.path, refusing.reason), 'cannot_write');
}

import { diskFullMeanwhile, outOfMemory } from '../errors/databaseMessages.js';
import { UserError } from '../errors/errors.js';
import { isDiskFull, isOutOfMemory } from '../errors/exhausted.js';
import { refused } from '../errors/messages.js';
import { refusal } from '../errors/systemReason.js';

/** What to say of an `error` that the user can mend; null for others. `memory`: what --memory says. */
export function mendable(error: unknown, memory: string | undefined): string | null {
    if (error instanceof UserError) return error.message;
    if (isDiskFull(error)) return diskFullMeanwhile();
    if (isOutOfMemory(error)) return outOfMemory(memory);
    const refusing = refusal(error);
    return refusing === null ? null : refused(refusing.path, refusing.reason);
}

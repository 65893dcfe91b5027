import { UserError } from './errors.js';
import { cannotWrite } from './messages.js';
import { systemReason } from './systemReason.js';

/** Does `work`, which writes `file`; where the system does not let it, a {@link UserError} says why. */
export function writing<T>(file: string, work: () => T): T {
    try {
        return work();
    } catch (error) {
        throw new UserError(cannotWrite(file, systemReason(error)), 'cannot_write');
    }
}

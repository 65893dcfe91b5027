import { hardware } from './hardware.js';
import { kits } from './kits.js';
import { readings } from './readings.js';
import { sessions } from './sessions.js';
import { shafts } from './shafts.js';
import type { TableContract } from './table.js';
import { targets } from './targets.js';

/** Every kind of file that `load` takes, in the order in which messages list them. */
export const tables: readonly TableContract[] = [readings, kits, targets, sessions, shafts, hardware];

export function tableOf(kind: string): TableContract {
    const found = tables.find((contract) => contract.kind === kind);
    if (found === undefined) throw new RangeError(`no table contract for kind ${kind}`);
    return found;
}

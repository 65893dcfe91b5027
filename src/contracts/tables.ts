import { changes } from './changes.js';
import { hardware } from './hardware.js';
import { kinds } from './kinds.js';
import { kits } from './kits.js';
import { readings } from './readings.js';
import { references } from './references.js';
import { rules } from './rules.js';
import { sessions } from './sessions.js';
import { shafts } from './shafts.js';
import type { TableContract } from './table.js';
import { targets } from './targets.js';

const byKind: Record<(typeof kinds)[number], TableContract> = {
    readings,
    kits,
    targets,
    sessions,
    shafts,
    hardware,
    references,
    changes,
    rules,
};

/** The contract of each kind of file, in the order of {@link kinds}. */
export const tables: readonly TableContract[] = kinds.map((kind) => byKind[kind]);

export function tableOf(kind: string): TableContract {
    const found = tables.find((contract) => contract.kind === kind);
    if (found === undefined) throw new RangeError(`no table contract for kind ${kind}`);
    return found;
}

import { createHash } from 'node:crypto';
import { rowChecks, validRow } from './checks.js';
import type { PreparedFile } from './prepare.js';

/** Identifies what a row of the kind has to keep, and the map: where one has changed, the file is read anew. */
export function checksHash({ header: { contract }, mapping }: PreparedFile): string {
    const all = contract.columns.map((column) => column.name);
    return createHash('sha256')
        .update(validRow(rowChecks(contract, all)))
        .update(mapping?.fingerprint ?? '')
        .digest('hex');
}

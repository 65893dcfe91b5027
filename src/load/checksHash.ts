import { createHash } from 'node:crypto';
import { rowChecks, validRow } from './checks.js';
import type { PreparedFile } from './prepare.js';

/** Identifies what a row of the kind has to keep, and the map: where one has changed, the file is read anew. */
export function checksHash({ header: { contract }, mapping }: PreparedFile): string {
    return createHash('sha256')
        .update(validRow(rowChecks(contract, contract.names)))
        .update(mapping?.fingerprint ?? '')
        .digest('hex');
}

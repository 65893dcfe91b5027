import { z } from 'zod';
import type { LoadRow } from '../contracts/results/load.js';
import { identifier } from '../db/database.js';
import { voidedTable } from '../db/schema.js';
import type { LoadRun } from './loadRun.js';
import type { PreparedFile } from './prepare.js';
import { SourcePass } from './source.js';

const earlierFile = z.object({ load_id: z.int(), sha256: z.string() });

const earlierLoad = z.object({
    load_id: z.int(),
    read_count: z.int(),
    rejected_count: z.int(),
    source_row_count: z.int().nullable(),
    dropped_row_count: z.int().nullable(),
});

/**
 * Answers for a file whose very bytes were loaded before, when nothing has happened since that could change the outcome:
 * no row of the kind was replaced or voided, the checks are the same, and the rejects of that load still wait. Else null.
 */
export async function sameBytesAgain(
    run: LoadRun,
    { source, header, mapping }: PreparedFile,
    checks: string,
    replace: boolean,
): Promise<LoadRow | null> {
    const { kind } = header.contract;
    if (!run.mayHaveLoaded(kind, source.byteCount)) return null;
    const earlier = await run.db.rows(
        earlierFile,
        'select load_id, sha256 from loads where kind = $kind and byte_count = $byte_count and checks = $checks',
        { kind, byte_count: source.byteCount, checks },
    );
    if (earlier.length === 0) return null;
    const pass = new SourcePass(source);
    for await (const _ of pass.chunks());
    const sha256 = pass.sha256();
    const load_ids = earlier.filter((load) => load.sha256 === sha256).map((load) => load.load_id);
    if (load_ids.length === 0) return null;
    const [found] = await run.db.rows(
        earlierLoad,
        `select load_id, read_count, rejected_count, source_row_count, dropped_row_count from loads
        where load_id in (${load_ids.join(', ')})
            and (rejected_count = 0 or not $replace)
            and rejected_count = (
                select count(*) from rejects where rejects.load_id = loads.load_id and rejects.cleared_by is null)
            and not exists (from ${identifier(voidedTable(kind))})
            and not exists (
                from loads as later where later.kind = $kind and later.replaced_count > 0 and later.load_id > loads.load_id)
        order by load_id
        limit 1`,
        { kind, replace },
    );
    if (found === undefined) return null;
    run.noteAside(found.load_id, found.rejected_count);
    return {
        file: source.file,
        kind,
        read_count: found.read_count,
        loaded_count: 0,
        duplicate_count: found.read_count - found.rejected_count,
        rejected_count: found.rejected_count,
        replaced_count: 0,
        ...(mapping !== undefined && {
            map: mapping.file,
            source_row_count: found.source_row_count ?? 0,
            dropped_row_count: found.dropped_row_count ?? 0,
        }),
    };
}

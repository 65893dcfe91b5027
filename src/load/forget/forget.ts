import { z } from 'zod';
import type { ForgottenRow } from '../../contracts/results/forget.js';
import { type Database, identifier } from '../../db/database.js';
import { historyTable, voidedTable } from '../../db/schema.js';
import { UserError } from '../../errors/errors.js';
import {
    broughtBack,
    keysTaken,
    laterDuplicates,
    nothingFits,
    rejectsStay,
    replacedStay,
    voided,
} from '../../errors/forgetMessages.js';
import { contentHash, keyHash } from '../keySql.js';
import { kitMeanings } from '../kitMeanings.js';
import { bringBack } from './bringBack.js';
import { countOf } from './countOf.js';
import { type Asked, askedRows, type Question } from './targets.js';
import { type Reason, voidRows } from './voidRows.js';

interface ForgetAnswer {
    rows: ForgottenRow[];
    notes: string[];
}

/** Runs `work` in one transaction, which a dry run rolls back, and adds what becomes of the marks of stored readings. */
async function changing(
    db: Database,
    dryRun: boolean,
    work: () => Promise<ForgetAnswer>,
): Promise<ForgetAnswer> {
    await db.run('begin transaction');
    try {
        const changes = await kitMeanings(db);
        const { rows, notes } = await work();
        const changed = rows.some(({ kind }) => kind === 'kits') ? await changes() : [];
        await db.run(dryRun ? 'rollback' : 'commit');
        return { rows, notes: [...notes, ...changed] };
    } catch (error) {
        await db.run('rollback').catch(() => undefined);
        throw error;
    }
}

/** What people should know of rows that were voided just now: what stands elsewhere that belongs to them. */
async function aftermath(db: Database, asked: readonly Asked[], rows: readonly ForgottenRow[]) {
    const notes: string[] = [];
    const voidingId = rows[0]!.voiding_id;
    for (const { contract, withFile } of asked) {
        const { kind } = contract;
        const [first] = rows.filter((row) => row.kind === kind);
        if (first === undefined) continue;
        const told = (by: string) =>
            `select ${keyHash(contract)} as key_hash, ${contentHash(contract)} as content_hash, ${by} as by_load`;
        const replaced = await countOf(
            db,
            `(${told('superseded_by')} from ${identifier(historyTable(kind))}) as earlier
            inner join (
                ${told('load_id')} from ${identifier(voidedTable(kind))} where voiding_id = ${voidingId}
            ) as gone using (key_hash, by_load)
            where earlier.content_hash <> gone.content_hash`,
        );
        if (replaced > 0) notes.push(replacedStay(replaced, historyTable(kind)));
        if (!withFile) continue;
        const ids = [...new Set(rows.filter((row) => row.kind === kind).map((row) => row.load_id))];
        const waiting = await countOf(
            db,
            `rejects where cleared_by is null and load_id in (${ids.join(', ')})`,
        );
        if (waiting > 0) notes.push(rejectsStay(waiting));
        const later = await db.rows(
            z.object({ load_id: z.int(), file: z.string(), duplicate_count: z.int() }),
            `select load_id, file, duplicate_count from loads
            where kind = '${kind}' and duplicate_count > 0 and load_id > ${Math.min(...ids)} and load_id not in (${ids.join(', ')})
            order by load_id`,
        );
        if (later.length > 0) notes.push(laterDuplicates(later));
    }
    return notes;
}

/**
 * Voids the rows that `question` asks for: they leave the tables of their kinds for those of the voided rows, all in one transaction. A
 * dry run lists them and changes nothing. Throws a {@link UserError} where nothing that stands is asked for.
 */
export async function forget(
    db: Database,
    question: Question,
    reason: Reason,
    dryRun = false,
): Promise<ForgetAnswer> {
    const { targets, where } = question;
    const name = [...targets, ...where].join(' ');
    return changing(db, dryRun, async () => {
        const asked = await askedRows(db, question);
        const rows = await voidRows(db, asked, name, reason);
        if (rows.length === 0)
            throw new UserError(nothingFits(name, question.kind ?? 'readings'), 'not_in_data');
        const notes = await aftermath(db, asked, rows);
        return { rows, notes: [voided(rows.length, rows[0]!.voiding_id, dryRun), ...notes] };
    });
}

/** Puts the rows of voidings back, all in one transaction; what {@link bringBack} throws undoes them all. */
export async function unforget(
    db: Database,
    voidingIds: readonly number[],
    by: string,
    dryRun = false,
): Promise<ForgetAnswer> {
    return changing(db, dryRun, async () => {
        const rows: ForgottenRow[] = [];
        for (const id of new Set(voidingIds)) rows.push(...(await bringBack(db, id, by)));
        const back = rows.filter(({ status }) => status === 'brought back').length;
        return {
            rows,
            notes: [
                ...(back > 0 ? [broughtBack(back, dryRun)] : []),
                ...(back < rows.length ? [keysTaken(rows.length - back)] : []),
            ],
        };
    });
}

import { z } from 'zod';
import {
    type MeasuredStackRow,
    measuredStackRow,
    type StackRow,
    stackRow,
} from '../contracts/results/stack.js';
import type { Database, Parameters } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { nothingToStack } from '../errors/messages.js';
import { type BoxPart, boxNotes } from './boxNotes.js';
import { knownNames, requireName } from './names.js';
import { stackNotes } from './stackNotes.js';
import { type ChangedRules, changedRules, requireRules } from './stackRules.js';
import { stackMissing, stackReason } from './stackWords.js';

interface StackQuestion {
    kit: string;
    /** Shaft that the stack goes on; none = every shaft of the shafts table. */
    shaft?: string | undefined;
    /** The car's own spring plate goes on; with a number, it adds so many mm between seat and nut face. */
    keepSpringPlate?: number | true | undefined;
    rules?: ChangedRules | undefined;
    /** Stacks listed for a shaft, default 10. */
    limit?: number | undefined;
}

interface StackAnswer {
    rows: StackRow[];
    notes: string[];
}

/** Stacks of each shaft that the smallest box is looked for among. */
const candidateCount = 40;

const question = `$kit::varchar, $shaft::varchar, $keep::boolean, $plate::double, ${changedRules}`;

function parametersOf({ kit, shaft, keepSpringPlate: keep, rules }: StackQuestion): Parameters {
    return {
        kit,
        shaft: shaft ?? null,
        keep: keep !== undefined,
        plate: typeof keep === 'number' ? keep : null,
        changed: JSON.stringify(rules ?? {}),
    };
}

async function measured(db: Database, asked: StackQuestion, limit: number): Promise<MeasuredStackRow[]> {
    return db.rows(
        measuredStackRow,
        `select ${Object.keys(measuredStackRow.shape).join(', ')} from stacks(${question}, ${limit}) order by shaft, rank`,
        parametersOf(asked),
    );
}

function published(row: MeasuredStackRow): StackRow {
    return stackRow.parse({ ...row, reason: stackReason(row), missing: stackMissing(row) });
}

const boxPart = z.object({
    part: z.string(),
    fits_diameter_mm: z.number().nullable(),
    fits_any: z.boolean(),
    in_sound: z.boolean(),
    smallest_count: z.int(),
});

/** The parts of the box with what all shafts of the shafts table make of them; `rows`: the best stacks of each. */
async function boxParts(
    db: Database,
    asked: StackQuestion,
    rows: readonly MeasuredStackRow[],
): Promise<BoxPart[]> {
    const sound = rows
        .filter((row) => row.sound)
        .map(({ kit, shaft, rank, parts }) => ({ kit, shaft, rank, parts }));
    return db.rows(
        boxPart,
        `select part, any_value(fits_diameter_mm) as fits_diameter_mm, bool_or(fits) as fits_any,
            part in (select part from sound_parts(${question})) as in_sound,
            coalesce(any_value(smallest.piece_count), 0) as smallest_count
        from stack_parts() as parts
        left join smallest_box(from_json($sound::json, '[{"kit":"VARCHAR","shaft":"VARCHAR","rank":"BIGINT","parts":["VARCHAR"]}]')) as smallest using (part)
        where parts.kit = $kit and part_count > 0
        group by part
        order by min(source_line), part`,
        { ...parametersOf(asked), sound: JSON.stringify(sound) },
    );
}

async function omittedParts(db: Database, asked: StackQuestion, best: MeasuredStackRow): Promise<string[]> {
    const rows = await db.rows(
        z.object({ part: z.string() }),
        `with used as (select role from stack_parts() where kit = $kit and part in (select unnest(cast($parts::json as varchar[]))))
        select part from stack_parts()
        where kit = $kit and shaft = $shaft and fits and not required and part_count > 0
            and role not in (from used) and role not in ('spacer', case when $keep::boolean then 'spring_plate' else '' end)
        order by source_line, part`,
        {
            kit: asked.kit,
            shaft: best.shaft,
            parts: JSON.stringify(best.parts),
            keep: asked.keepSpringPlate !== undefined,
        },
    );
    return rows.map(({ part }) => part);
}

/** What has to be there before it can be asked. */
export const stackNeeds = ['stacks', 'sound_parts', 'stack_parts', 'smallest_box', 'changed_rules'];

/**
 * Which parts of a box go on a shaft in which order, best stack first, and whether it is sound; without a shaft, the best stack for each
 * shaft of the shafts table. Throws a {@link UserError} when kit or shaft are not known, a UsageError when the rules contradict each other.
 */
export async function stack(db: Database, asked: StackQuestion): Promise<StackAnswer> {
    for (const table of ['hardware', 'shafts'] as const) {
        const names = await knownNames(db, table, table === 'shafts' ? 'shaft' : 'kit');
        if (names.length === 0) throw new UserError(nothingToStack(table), 'not_in_data');
    }
    await requireName(db, 'hardware', 'kit', asked.kit);
    if (asked.shaft !== undefined) await requireName(db, 'shafts', 'shaft', asked.shaft);
    await requireRules(db, asked.rules ?? {});
    const rows = await measured(db, asked, asked.shaft === undefined ? candidateCount : (asked.limit ?? 10));
    if (asked.shaft === undefined) {
        const best = rows.filter(({ rank }) => rank === 1).map(published);
        return { rows: best, notes: boxNotes(asked.kit, best, await boxParts(db, asked, rows)) };
    }
    const answer = rows.map(published);
    return {
        rows: answer,
        notes: stackNotes(answer[0]!, {
            keep: asked.keepSpringPlate,
            best: rows[0]!,
            omitted: await omittedParts(db, asked, rows[0]!),
        }),
    };
}

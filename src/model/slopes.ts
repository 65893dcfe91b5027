import { z } from 'zod';
import { type MarkRow, markRow, type SlopeRow, slopeRow } from '../contracts/results/slopes.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { programName } from '../errors/programName.js';
import { counted, shellWord } from '../errors/words.js';
import { equalToeWords } from '../units/equalToeWords.js';
import { requireName } from './names.js';

interface SlopesAnswer {
    rows: SlopeRow[];
    /** What one mark of each kit is worth. */
    marks: MarkRow[];
    notes: string[];
}

/** What has to be there before it can be asked. */
export const slopesNeeds = [
    'slopes',
    'moves',
    'slope_populations',
    'missing_offsets',
    'condition_changes',
    'mark_worths',
];

/**
 * Offset-to-angle sensitivities per chassis (deg/mm) from table `slopes`, with what a reader must know as sentences.
 * `chassis`: only this one; throws a {@link UserError} when no reading names it.
 */
export async function slopes(
    db: Database,
    { chassis }: { chassis?: string | undefined } = {},
): Promise<SlopesAnswer> {
    if ((await db.cells('select 1 from readings limit 1')).length === 0)
        throw new UserError(noReadings(), 'no_readings');
    if (chassis !== undefined) await requireName(db, 'readings', 'chassis', chassis);
    const columns = Object.keys(slopeRow.shape).join(', ');
    const rows = await db.rows(
        slopeRow,
        `select ${columns} from slopes
        where $chassis::varchar is null or chassis = $chassis
        order by chassis, list_position(['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'], response), axis desc`,
        { chassis: chassis ?? null },
    );
    const marks = await db.rows(
        markRow,
        `select ${Object.keys(markRow.shape).join(', ')} from mark_worths($chassis::varchar)
        order by chassis, kit, scale, hand desc, plate_index`,
        { chassis: chassis ?? null },
    );
    return { rows, marks, notes: [...(await slopeNotes(db, rows, chassis)), ...markNotes(marks, chassis)] };
}

function markNotes(marks: readonly MarkRow[], chassis: string | undefined): string[] {
    const [first] = marks;
    if (first === undefined) return [];
    if (chassis === undefined) {
        return [
            `What one mark of each kit is worth in each bolt position: ${programName()} slopes --chassis ${shellWord(first.chassis)}`,
        ];
    }
    return [
        `One mark up moves the bearing as the second table says, each side with the plate of its own hand; with the other hand, outboard and inboard change places (--json has both). Toe is per wheel, tie rods untouched${marks.every((row) => row.toe_deg === null) ? '; it is not known here, since no visit reads toe between moving the plates and turning the tie rods' : ''}.`,
    ];
}

const unplaced = z.object({ reason: z.string(), reading_count: z.int(), example: z.string() });

async function slopeNotes(
    db: Database,
    rows: readonly SlopeRow[],
    chassis: string | undefined,
): Promise<string[]> {
    const notes: string[] = [];
    const own = new Set(rows.filter((row) => row.estimate_deg_per_mm !== null).map((row) => row.chassis));
    const moved = new Set(rows.filter((row) => row.move_count > 0).map((row) => row.chassis));
    const alone = [...new Set(rows.map((row) => row.chassis))].filter((code) => !own.has(code));
    const [populations] = await db.cells(
        'select bool_or(chassis_count > 0) as from_chassis from slope_populations',
    );
    const rest =
        populations!.from_chassis === true
            ? 'the other chassis and the geometric prior'
            : 'the geometric prior alone';
    const still = alone.filter((code) => !moved.has(code));
    if (still.length > 0) {
        notes.push(`${still.join(', ')}: no slope of its own; the shrunken values come from ${rest}.`);
    }
    const open = alone.filter((code) => moved.has(code));
    if (open.length > 0) {
        notes.push(
            `${open.join(', ')}: the moves tell no slope by themselves; the shrunken values use what they do tell, and ${rest}.`,
        );
    }
    for (const row of rows) {
        if (row.flag !== null) notes.push(`${row.chassis}, ${row.response} per mm ${row.axis}: ${row.flag}.`);
    }
    for (const code of new Set(rows.map((row) => row.chassis))) {
        const own = rows.filter((row) => row.chassis === code && row.install_count > 0);
        if (own.length === 0) continue;
        const most = Math.max(...own.map((row) => row.install_count));
        notes.push(
            `${code}: up to ${most} of the moves of an angle are installs or changes of kit; what the kit itself adds is estimated beside the slopes.`,
        );
    }
    const down = rows
        .filter((row) => row.axis === 'out')
        .reduce((sum, row) => sum + row.downweighted_count, 0);
    if (down > 0) {
        notes.push(
            `${counted(down, 'change was', 'changes were')} down-weighted as far from the others; ${programName()} check --only downweighted_moves --all lists them${rows.some((row) => row.install_count > 0) ? ', but for installs' : ''}.`,
        );
    }
    for (const row of rows.filter(({ response, axis }) => response === 'camber_deg' && axis === 'out')) {
        notes.push(...equalToeWords(row).map((words) => `${row.chassis}: ${words}`));
    }
    const [changed] = await db.cells(
        `select count(*) as move_count from moves
        where from_reader is not null and response = 'camber_deg' and ($chassis::varchar is null or chassis = $chassis)`,
        { chassis: chassis ?? null },
    );
    if ((changed!.move_count as number) > 0) {
        notes.push(
            `${changed!.move_count} moves were read with one gauge before and another one after: the step between the two is estimated with the slopes, which makes them less sure.`,
        );
    }
    const missing = await db.rows(
        unplaced,
        `select
            reason,
            cast(sum(reading_count) as bigint) as reading_count,
            arg_min(source_file || ' line ' || source_line, (source_line, source_file)) as example
        from missing_offsets()
        where $chassis::varchar is null or chassis = $chassis
        group by reason order by reason`,
        { chassis: chassis ?? null },
    );
    for (const row of missing) {
        notes.push(
            `${row.reading_count} front readings have no known offset because ${row.reason} (first: ${row.example}); they take no part.`,
        );
    }
    return [...notes, ...(await conditionNotes(db, chassis))];
}

const leftOut = z.object({
    conditions: z.string(),
    move_count: z.int(),
    example: z.string(),
});

/** Moves that no slope uses, since before and after were read under different conditions. */
async function conditionNotes(db: Database, chassis: string | undefined): Promise<string[]> {
    const rows = await db.rows(
        leftOut,
        `select
            conditions,
            count(*) as move_count,
            arg_min(source_file || ' line ' || source_line, (source_line, source_file)) as example
        from (
            select * replace (regexp_replace(conditions, '(fuel_l|place) [^,]* to [^,]*', '\\1', 'g') as conditions)
            from condition_changes
            where is_move and ($chassis::varchar is null or chassis = $chassis)
        ) as moved
        group by conditions order by move_count desc, conditions`,
        { chassis: chassis ?? null },
    );
    return rows.map(
        ({ conditions, move_count, example }) =>
            `${move_count} ${move_count === 1 ? 'move takes' : 'moves take'} no part: read under different conditions before and after, ${conditions} (first: ${example}).`,
    );
}

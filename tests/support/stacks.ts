import { type MeasuredStackRow, measuredStackRow } from '../../src/contracts/results/stack.js';
import type { Database } from '../../src/db/database.js';
import { functionFiles, modelFiles, questionFiles } from '../../src/model/sqlFile.js';
import { changedRules } from '../../src/model/stackRules.js';
import { modelOf } from './memory.js';

/** A part as the hardware table has it, `kit` and `part` given by {@link boxes}. */
export interface Part {
    role: string;
    height_mm: number;
    part?: string;
    fits_diameter_mm?: number;
    height_tol_mm?: number;
    drop_mm?: number;
    count?: number;
    required?: 'yes' | 'no';
}

export interface Shaft {
    shaft?: string;
    seat_diameter_mm?: number;
    shoulder_length_mm: number;
    thread_length_mm: number;
    thread_pitch_mm?: number;
    shoulder_tol_mm?: number;
    thread_tol_mm?: number;
}

/** Tables, questions and functions of stacks; all others take ten times as long. */
const needs = [
    ...modelFiles().map(({ table }) => table),
    ...[...questionFiles(), ...functionFiles()].flatMap(({ names }) => names),
].filter((name) => /^(micro|changed_rules|stack\w*|spacer_sets|sound_parts|smallest_box)$/.test(name));

/** A database with boxes by kit name, and shafts (14 mm seats, called `S`, unless told). A part is named by its role and place. */
export async function boxes(
    kits: Readonly<Record<string, readonly Part[]>>,
    shafts: readonly Shaft[],
    threads = 1,
): Promise<Database> {
    return modelOf(
        {
            shafts: shafts.map((shaft) => ({ shaft: 'S', seat_diameter_mm: 14, ...shaft })),
            hardware: Object.entries(kits).flatMap(([kit, parts]) =>
                parts.map((part, index) => ({ kit, part: `${part.role}-${index}`, ...part })),
            ),
        },
        threads,
        needs,
    );
}

/** Rows of the SQL question `stacks` for all kits and shafts, by kit, shaft and rank. */
export function stacksOf(
    db: Database,
    { keep = false, plate_mm = null as number | null, rules = {} as Record<string, number>, shown = 10 } = {},
): Promise<MeasuredStackRow[]> {
    return db.rows(
        measuredStackRow,
        `select ${Object.keys(measuredStackRow.shape).join(', ')}
        from stacks(null, null, $keep::boolean, $plate::double, ${changedRules}, ${shown}) order by kit, shaft, rank`,
        { keep, plate: plate_mm, changed: JSON.stringify(rules) },
    );
}

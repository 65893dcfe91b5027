import { z } from 'zod';
import type { Database, Parameters } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import {
    indexBeyond,
    kitNotForChassis,
    kitReachUnknown,
    targetNotForChassis,
    targetWithoutAngles,
    targetWithoutTolerance,
} from '../errors/messages.js';
import type { GivenCorner } from './givenCorner.js';
import { requireName } from './names.js';

/** Where a row of the database came from. */
export const place = { source_file: z.string().nullable(), source_line: z.int().nullable() };

export function placeOf(row: { source_file: string | null; source_line: number | null }) {
    return { file: row.source_file, line: row.source_line };
}

const targetRow = z.object({
    chassis: z.string().nullable(),
    camber_deg: z.number().nullable(),
    camber_tol_deg: z.number().nullable(),
    caster_deg: z.number().nullable(),
    caster_tol_deg: z.number().nullable(),
    ...place,
});

/** Throws a {@link UserError} unless `target` can be judged for `chassis`: known, with an angle, each angle with a tolerance. */
export async function requireTarget(db: Database, target: string, chassis: string | null): Promise<void> {
    await requireName(db, 'targets', 'target', target);
    const rows = await db.rows(
        targetRow,
        `select ${Object.keys(targetRow.shape).join(', ')} from targets
        where target = $target order by chassis nulls last`,
        { target },
    );
    const row = rows.find((one) => one.chassis === chassis) ?? rows.find((one) => one.chassis === null);
    if (row === undefined) {
        throw new UserError(
            targetNotForChassis(
                target,
                chassis,
                rows.map((one) => one.chassis!),
            ),
            'unknown_name',
        );
    }
    if (row.camber_deg === null && row.caster_deg === null) {
        throw new UserError(targetWithoutAngles(target, placeOf(row)), 'not_in_data');
    }
    for (const angle of ['camber', 'caster'] as const) {
        if (row[`${angle}_deg`] !== null && row[`${angle}_tol_deg`] === null) {
            throw new UserError(
                targetWithoutTolerance(target, `${angle}_tol_deg`, placeOf(row)),
                'not_in_data',
            );
        }
    }
}

const plateRow = z.object({
    chassis: z.string().nullable(),
    index_count: z.int(),
    reach_known: z.boolean(),
    ...place,
});

/** Throws a {@link UserError} unless the plates of `kit` fit `chassis`, have ends of scale, and bolt position `index` where given. */
export async function requireKit(
    db: Database,
    kit: string,
    chassis: string | null,
    index: number | undefined,
): Promise<void> {
    await requireName(db, 'kits', 'kit', kit);
    const rows = await db.rows(
        plateRow,
        `select plates.chassis, plates.index_count, plates.mark_min is not null and plates.mark_max is not null as reach_known,
            source_file, source_line
        from plates
        inner join kits on kits.kit = plates.kit and kits.chassis is not distinct from plates.chassis
        where plates.kit = $kit order by plates.chassis nulls last`,
        { kit },
    );
    const row = rows.find((one) => one.chassis === chassis) ?? rows.find((one) => one.chassis === null);
    if (row === undefined)
        throw new UserError(
            kitNotForChassis(
                kit,
                chassis,
                rows.map((one) => one.chassis!),
            ),
            'unknown_name',
        );
    if (!row.reach_known) throw new UserError(kitReachUnknown(kit, placeOf(row)), 'not_in_data');
    if (index !== undefined && index > row.index_count) {
        throw new UserError(indexBeyond(index, kit, row.index_count), 'not_in_data');
    }
}

/** Corners told with `--from`; a corner with offsets carries the kit in question, one without its original mount. */
export interface Told {
    corners: readonly GivenCorner[];
    vehicle?: string | undefined;
    chassis?: string | undefined;
    kit: string;
    index?: number | undefined;
    hand?: 'own' | 'other' | undefined;
}

const givenShape = JSON.stringify([
    {
        vehicle: 'VARCHAR',
        chassis: 'VARCHAR',
        corner: 'VARCHAR',
        kit: 'VARCHAR',
        plate_hand: 'VARCHAR',
        plate_index: 'INTEGER',
        mark_1: 'DOUBLE',
        mark_2: 'DOUBLE',
        offset_out_mm: 'DOUBLE',
        offset_aft_mm: 'DOUBLE',
        camber_deg: 'DOUBLE',
        caster_deg: 'DOUBLE',
        toe_deg: 'DOUBLE',
    },
]);

/** SQL for the parameter `$given` as the questions take it. */
export const givenCorners = `from_json($given, '${givenShape}')`;

/** The value of `$given`. */
export function givenParameter(told: Told | undefined): Parameters[string] {
    const rows = told?.corners.map((one) => {
        const fitted = one.offset_out_mm !== null;
        const [own, other] = one.corner === 'FL' ? ['left', 'right'] : ['right', 'left'];
        return {
            ...one,
            vehicle: told.vehicle ?? '',
            chassis: told.chassis ?? null,
            kit: fitted ? told.kit : null,
            plate_hand: fitted ? (told.hand === 'other' ? other : own) : null,
            plate_index: fitted ? (told.index ?? null) : null,
            offset_out_mm: one.offset_out_mm ?? 0,
            offset_aft_mm: one.offset_aft_mm ?? 0,
        };
    });
    return JSON.stringify(rows ?? []);
}

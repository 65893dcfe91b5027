import { type Chassis, chassisByName } from '../drift/chassis.js';
import type { Corner, Front } from '../drift/corner.js';
import type { Changes } from '../drift/gaussian.js';
import type { Session } from '../drift/session.js';
import { type Batch, type Row, rowsOf } from './batch.js';

const values = ['camber_deg', 'caster_deg', 'sai_deg', 'toe_deg', 'pointer_out_mm', 'pointer_aft_mm'];
const variances = [
    'camber_var_deg2',
    'caster_var_deg2',
    'sai_var_deg2',
    'toe_var_deg2',
    'pointer_var_mm2',
    'pointer_var_mm2',
];
const places = values.map((_, place) => place);

const changesOf = (row: Row): Changes => ({
    read: places.filter((place) => (row[values[place]!] ?? null) !== null),
    values: values.map((name) => (row[name] ?? 0) as number),
    variances: variances.map((name) => (row[name] ?? 1) as number),
});

function cornerOf(row: Row): Corner {
    const tanCaster = (row.tan_caster ?? 0) as number;
    return {
        side: (row.corner as string).endsWith('L') ? 1 : -1,
        changes: changesOf(row),
        toePart: row.equal_toe ? 0 : tanCaster,
        toeReadPart: row.equal_toe ? tanCaster : 0,
    };
}

/** The front of a row of table session_corners. */
export function frontOf(row: Row, chassis: ReadonlyMap<string, Chassis>): Front {
    const { freedom, slot_out, slot_aft, low_mm, high_mm } = row as Record<string, number | null> & Row;
    return {
        ...cornerOf(row),
        chassis: chassis.get(row.chassis as string)!,
        freedom: freedom as unknown as Front['freedom'],
        slot: slot_out === null ? null : [slot_out!, slot_aft!],
        ends: low_mm === null || high_mm === null ? null : [low_mm!, high_mm!],
    };
}

/** Sessions that have a front, with the rows of their fronts, from rows of compared_corners (sql/functions) sorted by vehicle, visit and corner. */
export async function* sessionsOf(
    batches: AsyncIterable<Batch>,
    sensitivities: readonly Row[],
): AsyncIterable<{ rows: readonly Row[]; session: Session }> {
    const chassis = chassisByName(sensitivities);
    const told = (visit: readonly Row[]) => {
        const rows = visit.filter(({ corner }) => (corner as string).startsWith('F'));
        const rears = visit.filter(({ corner }) => (corner as string).startsWith('R'));
        if (rows.length === 0) return [];
        const fronts = rows.map((row) => frontOf(row, chassis));
        return [{ rows, session: { fronts, rears: rears.map(cornerOf) } }];
    };
    let visit: Row[] = [];
    for await (const row of rowsOf(batches)) {
        if (visit.length > 0 && (visit[0]!.vehicle !== row.vehicle || visit[0]!.visit !== row.visit)) {
            yield* told(visit);
            visit = [];
        }
        visit.push(row);
    }
    yield* told(visit);
}

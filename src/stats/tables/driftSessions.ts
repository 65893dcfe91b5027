import { type Chassis, chassisByName } from '../drift/chassis.js';
import type { Corner, Front, JudgedFront } from '../drift/corner.js';
import { ANGLES, type Changes, type Vector } from '../drift/gaussian.js';
import type { Session } from '../drift/session.js';
import type { Batch, Row, Value } from './batch.js';

const values = [
    'camber_deg',
    'caster_deg',
    'sai_deg',
    'toe_deg',
    'pointer_out_mm',
    'pointer_aft_mm',
    'height_mm',
];
const variances = [
    'camber_var_deg2',
    'caster_var_deg2',
    'sai_var_deg2',
    'toe_var_deg2',
    'pointer_var_mm2',
    'pointer_var_mm2',
    'height_var_mm2',
];
const places = values.map((_, place) => place);

/** The columns of a batch of corners, by their names. */
export class Corners {
    readonly count: number;
    readonly #columns: ReadonlyMap<string, readonly Value[]>;

    constructor({ names, columns }: Batch) {
        this.count = columns[0]?.length ?? 0;
        this.#columns = new Map(names.map((name, i) => [name, columns[i] as Value[]]));
    }

    value(name: string, row: number): Value {
        return this.#columns.get(name)![row]!;
    }

    #vector(names: readonly string[], row: number, absent: number): Vector {
        const found = new Float64Array(names.length);
        for (let i = 0; i < found.length; i++)
            found[i] = (this.#columns.get(names[i]!)![row] ?? absent) as number;
        return found;
    }

    #changes(row: number): Changes {
        return {
            read: places.filter((place) => this.value(values[place]!, row) !== null),
            values: this.#vector(values, row, 0),
            variances: this.#vector(variances, row, 1),
        };
    }

    corner(row: number): Corner {
        const tanCaster = (this.value('tan_caster', row) ?? 0) as number;
        const isEqual = this.value('equal_toe', row);
        return {
            side: (this.value('corner', row) as string).endsWith('L') ? 1 : -1,
            changes: this.#changes(row),
            toePart: isEqual ? 0 : tanCaster,
            toeReadPart: isEqual ? tanCaster : 0,
        };
    }

    judgedFront(row: number, chassis: ReadonlyMap<string, Chassis>): JudgedFront {
        const front = this.front(row, chassis);
        const { changes } = front;
        const cells = this.value('parts', row) as readonly number[] | null;
        const parts = [];
        for (let from = 0; cells !== null && from < cells.length; from += 1 + 2 * ANGLES) {
            const part = {
                read: changes.read,
                values: changes.values.slice(),
                variances: changes.variances.slice(),
            };
            for (let angle = 0; angle < ANGLES; angle++) {
                part.values[angle] = cells[from + 1 + angle]!;
                part.variances[angle] = cells[from + 1 + ANGLES + angle]!;
            }
            parts.push({ weight: cells[from]!, changes: part });
        }
        return {
            ...front,
            parts: cells === null ? [{ weight: 1, changes }] : parts,
            heldLog: this.value('held_log', row) as number,
        };
    }

    front(row: number, chassis: ReadonlyMap<string, Chassis>): Front {
        const pair = (first: string, second: string) => {
            const [a, b] = [this.value(first, row), this.value(second, row)];
            return a === null || b === null ? null : ([a as number, b as number] as const);
        };
        return {
            ...this.corner(row),
            chassis: chassis.get(this.value('chassis', row) as string)!,
            freedom: this.value('freedom', row) as Front['freedom'],
            slot: pair('slot_out', 'slot_aft'),
            ends: pair('low_mm', 'high_mm'),
        };
    }
}

/** Sessions that have a front, with their names, of rows of compared_corners (sql/functions) sorted by vehicle and visit. */
export async function* sessionsOf(
    batches: AsyncIterable<Batch>,
    sensitivities: readonly Row[],
): AsyncIterable<{ names: { chassis: Value; vehicle: Value; visit: Value }; session: Session }> {
    const chassis = chassisByName(sensitivities);
    let names: { chassis: Value; vehicle: Value; visit: Value } = {
        chassis: null,
        vehicle: null,
        visit: null,
    };
    let [fronts, rears]: [JudgedFront[], Corner[]] = [[], []];
    for await (const batch of batches) {
        const corners = new Corners(batch);
        for (let row = 0; row < corners.count; row++) {
            const [vehicle, visit] = [corners.value('vehicle', row), corners.value('visit', row)];
            if (visit !== names.visit || vehicle !== names.vehicle) {
                if (fronts.length > 0) yield { names, session: { fronts, rears } };
                names = { chassis: corners.value('chassis', row), vehicle, visit };
                [fronts, rears] = [[], []];
            }
            if ((corners.value('corner', row) as string).startsWith('F'))
                fronts.push(corners.judgedFront(row, chassis));
            else rears.push(corners.corner(row));
        }
    }
    if (fronts.length > 0) yield { names, session: { fronts, rears } };
}

import type { Row } from '../tables/batch.js';
import { type Plate, places } from './chain.js';
import { type Chassis, chassisByName } from './chassis.js';
import { Readers } from './readers.js';
import { isRear, type StateRow } from './states.js';

function mirrorOf({ plate_hand, corner }: StateRow): number {
    return (plate_hand === 'left') === corner.endsWith('L') ? 1 : -1;
}

/** The scales of a plate, see table plates. */
export interface Scales {
    kit: string;
    chassis: string | null;
    index_step_deg: number;
    axis_deg: number;
    pitch_mm: number;
    mark_min: number | null;
    mark_max: number | null;
    two_scales: boolean;
}

/** What is known of cars besides their states. */
export class Fleet {
    readonly readers: Readers;
    readonly chassis: ReadonlyMap<string, Chassis>;
    /** Usual caster, by chassis. */
    readonly casters: ReadonlyMap<string, number | null>;
    readonly #scales: readonly Scales[];

    constructor(whole: Readonly<Record<string, readonly Row[]>>) {
        this.readers = new Readers(whole);
        this.chassis = chassisByName(whole.sensitivities!);
        this.casters = new Map(
            whole.chassis_casters!.map((row) => [row.chassis as string, row.caster_deg as number | null]),
        );
        this.#scales = whole.plates as readonly Row[] as unknown as Scales[];
    }

    /** The kit's row for this chassis wins over its row for any chassis. */
    scalesOf({ kit, chassis }: StateRow): Scales | undefined {
        const of = (own: string | null) => this.#scales.find((row) => row.kit === kit && row.chassis === own);
        return kit === null ? undefined : (of(chassis) ?? of(null));
    }
}

/** The plate of a front; null for a rear and where no slope is known. */
export function plateOf(row: StateRow, fleet: Fleet): Plate | null {
    const chassis = fleet.chassis.get(row.chassis);
    if (chassis === undefined || isRear(row)) return null;
    const scales = fleet.scalesOf(row);
    const turned = scales === undefined || row.plate_index === null ? null : row.plate_index - 1;
    const direction =
        turned === null ? null : ((scales!.axis_deg + turned * scales!.index_step_deg) * Math.PI) / 180;
    const freedom = row.kit === null ? 'none' : scales?.two_scales || direction === null ? 'plane' : 'slot';
    const slot =
        direction === null ? null : ([Math.cos(direction) * mirrorOf(row), Math.sin(direction)] as const);
    return { chassis, freedom, slot, slips: [], shown: [] };
}

/** Tangent of a front corner's caster, or of its chassis'; null where neither was read. */
export function tanCasterOf(rows: readonly StateRow[], { casters }: Fleet): number | null {
    const [{ chassis }] = rows as [StateRow];
    if (isRear(rows[0]!)) return null;
    let [sum, count] = [0, 0];
    for (const { angles: read } of rows) {
        const caster = read[places.caster]!;
        if (Number.isNaN(caster)) continue;
        sum += caster;
        count++;
    }
    const caster = count > 0 ? sum / count : (casters.get(chassis) ?? null);
    return caster === null ? null : Math.tan((caster * Math.PI) / 180);
}

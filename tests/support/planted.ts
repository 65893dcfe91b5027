import { designs } from '../../fixtures/physics/chassis.js';
import type { CsvRow } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate, slantedPlate, twoScales } from '../../fixtures/physics/kits.js';
import { plateOffset } from '../../fixtures/physics/plate.js';
import { Random } from '../../fixtures/physics/random.js';

const kits = [onePlate, twoScales, slantedPlate];

type Row = Record<string, string | number | null | undefined>;

const angles = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;
const hundredths = (value: number) => Math.round(value * 100) / 100;
const num = (row: Row, name: string) => row[name] as number;

/** Bearing offset that the marks of `row` stand for. */
function offsetOf(row: Row) {
    const plate = kits.find(({ kit }) => kit === row.kit)!;
    const otherHand = row.plate_hand !== (row.corner === 'FL' ? 'left' : 'right');
    const [mark_1, mark_2] = [num(row, 'mark_1'), (row.mark_2 ?? 0) as number];
    return {
        pitch: plate.mark_pitch_mm,
        ...plateOffset(plate, { index: num(row, 'plate_index'), mark_1, mark_2, otherHand }),
    };
}

function measured(row: Row, factor: (pitch: number) => number): void {
    const { out, aft, pitch } = offsetOf(row);
    row.offset_out_mm = hundredths(out * factor(pitch));
    row.offset_aft_mm = hundredths(aft * factor(pitch));
    row.mark_1 = null;
    row.mark_2 = null;
}

const minutes = (value: number) => {
    const whole = Math.round(Math.abs(value) * 60);
    return Math.sign(value) * hundredths(Math.floor(whole / 60) + (whole % 60) / 100);
};

const exchange = (left: Row, right: Row) => {
    for (const name of angles) [left[name], right[name]] = [right[name], left[name]];
};

/** Both fronts of each phase in which both were read, left first. */
const pairs = (rows: readonly Row[]) =>
    rows.flatMap((left) => {
        const right = rows.find((row) => row.corner === 'FR' && row.phase === left.phase);
        return left.corner !== 'FL' || right === undefined ? [] : [[left, right] as const];
    });

interface Mistake {
    /** The check that should find it. */
    check: string;
    /** What the mistake covers; a corner is FL of the second visit. */
    scope: 'vehicle' | 'visit' | 'corner';
    /** Rewrites `rows`, those of the scope; `others` are the rest of the car's. */
    plant(rows: Row[], random: Random, others: Row[]): void;
}

/** Mistakes as people make them, each rewriting sound rows in place. */
export const mistakes: Readonly<Record<string, Mistake>> = {
    'inches as mm': {
        check: 'offset_unit_or_sign',
        scope: 'vehicle',
        plant: (rows) => {
            for (const row of rows) measured(row, () => 1 / 25.4);
        },
    },
    'marks as mm': {
        check: 'offset_unit_or_sign',
        scope: 'vehicle',
        plant: (rows) => {
            for (const row of rows) measured(row, (pitch) => 1 / pitch);
        },
    },
    'signs of the offsets': {
        check: 'offset_unit_or_sign',
        scope: 'vehicle',
        plant: (rows) => {
            for (const row of rows) measured(row, () => -1);
        },
    },
    'camber without its minus': {
        check: 'offset_unit_or_sign',
        scope: 'vehicle',
        plant: (rows) => {
            for (const row of rows) row.camber_deg = -num(row, 'camber_deg');
        },
    },
    'sides exchanged in a visit': {
        check: 'swapped_sides',
        scope: 'visit',
        plant: (rows) => {
            for (const [left, right] of pairs(rows)) exchange(left, right);
        },
    },
    'sides exchanged in after': {
        check: 'swapped_sides',
        scope: 'visit',
        plant: (rows) => {
            for (const [left, right] of pairs(rows)) if (left.phase === 'after') exchange(left, right);
        },
    },
    'wrong index': {
        check: 'wrong_placement',
        scope: 'corner',
        plant: (rows, random) => {
            const turn = random.whole(1, 2);
            for (const row of rows) row.plate_index = 1 + ((num(row, 'plate_index') - 1 + turn) % 3);
        },
    },
    'wrong hand': {
        check: 'wrong_placement',
        scope: 'corner',
        plant: (rows) => {
            for (const row of rows) row.plate_hand = row.plate_hand === 'left' ? 'right' : 'left';
        },
    },
    'sign of one camber': {
        check: 'lost_camber_sign',
        scope: 'corner',
        plant: (rows) => {
            const after = rows.find(({ phase }) => phase === 'after')!;
            after.camber_deg = -num(after, 'camber_deg');
        },
    },
    'whole degree in SAI': {
        check: 'included_angle_jump',
        scope: 'corner',
        plant: (rows, random) => {
            const after = rows.find(({ phase }) => phase === 'after')!;
            after.sai_deg = hundredths(num(after, 'sai_deg') + random.pick([-1, 1]));
        },
    },
    'as-found copied from the last visit': {
        check: 'copied_rows',
        scope: 'corner',
        plant: (rows, _random, others) => {
            const before = rows.find(({ phase }) => phase === 'before')!;
            const last = others.find(
                ({ corner, phase, visit }) => corner === 'FL' && phase === 'after' && visit !== before.visit,
            )!;
            for (const name of angles) before[name] = last[name];
        },
    },
    'minutes as decimals': {
        check: 'minutes_as_decimals',
        scope: 'visit',
        plant: (rows) => {
            for (const row of rows) for (const name of angles) row[name] = minutes(num(row, name));
        },
    },
    'total toe per wheel': {
        check: 'toe_total_as_wheel',
        scope: 'visit',
        plant: (rows) => {
            for (const [left, right] of pairs(rows)) {
                const total = hundredths(num(left, 'toe_deg') + num(right, 'toe_deg'));
                left.toe_deg = total;
                right.toe_deg = total;
            }
        },
    },
};

export interface PlantedMistake {
    mistake: string;
    check: string;
    vehicle: string;
    visit: string | null;
    corner: string | null;
}

/**
 * Fleets of five cars of each of three chassis and two visits, one car of each chassis with the mistake planted;
 * `fleets` of them per kind of mistake, vehicle names telling them apart.
 */
export function plantedFleets(seed: number, fleets: number) {
    const readings: Row[] = [];
    const planted: PlantedMistake[] = [];
    for (const [mistake, { check, scope, plant }] of Object.entries(mistakes)) {
        for (let f = 0; f < fleets; f++) {
            const random = new Random(seed + readings.length);
            const fleet = simulateFleet({
                seed: seed + readings.length + 1,
                designs: designs.filter((_, i) => i % 2 === f % 2),
                vehicles: 5,
                visits: 2,
                plates: kits,
                otherHandShare: 0.2,
                prefix: `${mistake} ${f} `,
            });
            const rows = fleet.readings as Row[];
            for (const vehicle of new Set(rows.map((row) => String(row.vehicle)))) {
                if (!vehicle.endsWith('-1')) continue;
                const visit = scope === 'vehicle' ? null : `${vehicle}-2`;
                const corner = scope === 'corner' ? 'FL' : null;
                const car = rows.filter((row) => row.vehicle === vehicle);
                const inScope = (row: Row) =>
                    (visit === null || row.visit === visit) && (corner === null || row.corner === corner);
                plant(car.filter(inScope), random, car);
                planted.push({ mistake, check, vehicle, visit, corner });
            }
            readings.push(...rows);
        }
    }
    return { readings: readings as CsvRow[], kits: kits.map((plate) => ({ ...plate })) as CsvRow[], planted };
}

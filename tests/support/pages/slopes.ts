import { Database } from '../../../src/db/database.js';
import { modelFiles } from '../../../src/model/sqlFile.js';
import { modelTable } from '../modelTable.js';

/** Invented chassis: slopes per mm (camber and SAI over out, caster over aft, toe over out), cars and moves per car. */
interface Invented {
    chassis: string;
    camber: number;
    caster: number | null;
    toe: number;
    cars: number;
    movesPerCar: number;
    flag?: string;
}

/** Text that would run if a page took it for markup. */
export const markup = '<img src=x onerror="alert(1)">&"\'';

const season: Invented[] = [
    { chassis: 'OTTER', camber: 0.087, caster: 0.091, toe: 0.031, cars: 9, movesPerCar: 4 },
    { chassis: 'KB2', camber: 0.079, caster: 0.083, toe: -0.024, cars: 11, movesPerCar: 3 },
    { chassis: 'LF7', camber: 0.098, caster: 0.101, toe: 0.044, cars: 6, movesPerCar: 4 },
    { chassis: 'TR10', camber: 0.091, caster: null, toe: 0.012, cars: 5, movesPerCar: 3 },
    { chassis: 'ZP1', camber: 0.085, caster: 0.088, toe: -0.04, cars: 2, movesPerCar: 1 },
    {
        chassis: 'WM3',
        camber: 2.15,
        caster: 2.2,
        toe: 0.7,
        cars: 3,
        movesPerCar: 3,
        flag: 'effective length of 27 mm; 25.4 times less than usual, so the offsets are probably in inches',
    },
    { chassis: markup, camber: 0.083, caster: 0.086, toe: 0.02, cars: 3, movesPerCar: 2 },
    { chassis: 'NEW5', camber: 0.087, caster: 0.0905, toe: 0, cars: 0, movesPerCar: 0 },
];

/** mulberry32, a small public-domain generator: the same invented rows at every run. */
function generator(seed: number): () => number {
    let state = seed;
    return () => {
        state = (state + 0x6d2b79f5) | 0;
        let t = Math.imul(state ^ (state >>> 15), 1 | state);
        t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
        return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
    };
}

/** An in-memory database with the model tables that the slopes page reads; `cars` multiplies the fleet. */
export async function slopesDatabase({ cars = 1 } = {}): Promise<Database> {
    const random = generator(7);
    const noise = (sd: number) => sd * (random() + random() + random() - 1.5) * 2;
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    const moves: Record<string, string | number>[] = [];
    const fits: Record<string, string | number>[] = [];
    const slopes: Record<string, string | number | boolean | null>[] = [];
    for (const one of season) {
        const truth = {
            camber_deg: [one.camber, 0],
            caster_deg: [0, one.caster ?? 0.089],
            toe_deg: [one.toe, 0],
            sai_deg: [-one.camber, 0],
        };
        const sd = { camber_deg: 0.05, caster_deg: 0.12, toe_deg: 0.02, sai_deg: 0.13 };
        const shrink = one.flag === undefined ? 1 : 25.4;
        for (let car = 1; car <= one.cars * cars; car++) {
            const vehicle =
                car === 1 && one.chassis === 'OTTER'
                    ? markup
                    : `${one.chassis.slice(0, 4)}-${String(car).padStart(2, '0')}`;
            for (let visit = 1; visit <= one.movesPerCar; visit++) {
                const move_out_mm = Math.round((random() * 16 - 8) * 2) / 2 / shrink || 1;
                const move_aft_mm =
                    one.caster === null ? 0 : Math.round((random() * 12 - 6) * 2) / 2 / shrink;
                const gross = random() < 0.07;
                for (const [response, [out, aft]] of Object.entries(truth) as [
                    keyof typeof truth,
                    number[],
                ][]) {
                    const key = {
                        chassis: one.chassis,
                        vehicle,
                        corner: visit % 2 === 0 ? 'FL' : 'FR',
                        visit: `v${visit}`,
                        from_phase: 'before',
                        to_phase: visit % 3 === 0 ? 'after' : 'moved',
                        response,
                    };
                    const fitted_deg = out! * move_out_mm + aft! * move_aft_mm;
                    const residual_deg = noise(sd[response]) + (gross ? -2 * fitted_deg : 0);
                    moves.push({
                        ...key,
                        move_out_mm,
                        move_aft_mm,
                        change_deg: fitted_deg + residual_deg,
                        weight: 1,
                    });
                    fits.push({
                        ...key,
                        fitted_deg,
                        residual_deg,
                        robust_weight: Math.max(0, 1 - (residual_deg / (4.685 * sd[response])) ** 2) ** 2,
                    });
                }
            }
        }
        const count = one.cars * one.movesPerCar * cars;
        for (const [response, pair] of Object.entries(truth) as [keyof typeof truth, number[]][]) {
            for (const [index, axis] of (['out', 'aft'] as const).entries()) {
                const moved = count > 0 && (axis === 'out' || one.caster !== null);
                const estimate = moved ? pair[index]! : null;
                const std_error = moved ? ((sd[response] * 1.4) / (5 * Math.sqrt(count))) * shrink : null;
                const t = count < 4 ? 12.7 : 2.2;
                slopes.push({
                    chassis: one.chassis,
                    response,
                    axis,
                    estimate_deg_per_mm: estimate,
                    std_error_deg_per_mm: std_error,
                    conf_low_deg_per_mm: estimate === null ? null : estimate - t * std_error!,
                    conf_high_deg_per_mm: estimate === null ? null : estimate + t * std_error!,
                    df: moved ? Math.max(1, one.cars - 1.6) : null,
                    move_count: moved ? count : 0,
                    vehicle_count: moved ? one.cars * cars : 0,
                    shrunk_deg_per_mm:
                        one.flag === undefined
                            ? 0.8 * pair[index]! + 0.2 * pair[index]! * 1.02
                            : pair[index]! / 25.4,
                    shrunk_std_error_deg_per_mm: moved ? Math.min(0.009, std_error!) : 0.01,
                    effective_length_mm:
                        estimate !== null && estimate !== 0 && response !== 'toe_deg'
                            ? 57.3 / Math.abs(estimate)
                            : null,
                    flag:
                        (response === 'camber_deg' && axis === 'out') ||
                        (response === 'caster_deg' && axis === 'aft')
                            ? (one.flag ?? null)
                            : null,
                    reason: moved
                        ? null
                        : count === 0
                          ? 'no usable move: no visit of this chassis holds two readings of this angle at two known offsets'
                          : 'the bearing never moved along this axis with one kit in place',
                    downweighted_count: 0,
                    install_count: 0,
                    no_caster_count: 0,
                    unequal_toe_count: one.chassis === 'KB2' && response === 'camber_deg' ? 4 : 0,
                    reliability: moved ? 0.991 : null,
                    reliability_corrected: false,
                    mid_mm: moved ? 1.5 : null,
                });
            }
        }
    }
    await db.transaction(async () => {
        await modelTable(db, 'moves', moves);
        await modelTable(db, 'move_fits', fits);
        await modelTable(db, 'slopes', slopes);
    });
    await db.run(
        `create table angle_priors as ${modelFiles().find(({ table }) => table === 'angle_priors')!.query}`,
    );
    return db;
}

export default slopesDatabase;

import { designs } from '../../fixtures/physics/chassis.js';
import type { CsvRow } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { carefulSetter, type Setter, simulateInstalls } from '../../fixtures/physics/installs.js';
import { onePlate, slantedPlate, twoScales } from '../../fixtures/physics/kits.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import { hardware, shafts } from '../../fixtures/season/boxes.js';
import type { Rows } from './memory.js';

const plates = [onePlate, twoScales, slantedPlate];
const shared = { designs: designs.slice(0, 5), vehicles: 20, build_mm: 0.7 };
const people: Setter[] = Array.from({ length: 6 }, (_, place) => ({
    ...carefulSetter,
    technician: `fitter ${place + 1}`,
    camberBias_deg: 0.02 * (place - 2),
    camber_sd_deg: 0.05 + 0.02 * place,
}));

/** Number of the car in its chassis. */
const numberOf = ({ vehicle }: CsvRow) => Number(/\d+$/.exec(String(vehicle))![0]);

/** The rows of one simulation as those of the car of the same chassis and number in another year, on one of four gauges. */
function inYear(year: number, rows: readonly CsvRow[]): CsvRow[] {
    return rows.map((row) => {
        const number = numberOf(row);
        return {
            ...row,
            vehicle: `${row.chassis}-${number}`,
            visit: `${year} ${row.visit}`,
            measured_at: `${year}${String(row.measured_at).slice(4)}`,
            gauge: `rack ${1 + (number % 4)}`,
            technician: row.technician ?? `fitter ${1 + (number % 6)}`,
        };
    });
}

/** Fits of every car for a target of its chassis, `change_deg` from the camber that it is drawn with, over twelve months. */
function fits(seed: number, target: string, change_deg: number) {
    const simulated = shared.designs.flatMap((design, place) =>
        plates.map((plate, kit) => {
            const camber_deg = Math.round(10 * (design.camber_deg + change_deg)) / 10;
            const goal = { camber_deg, caster_deg: design.caster_deg, toe_deg: 0.05 };
            const options = { ...shared, seed: seed + 10 * place + kit, designs: [design], goal, plate };
            const { readings, targets } = simulateInstalls({
                ...options,
                indices: [1, 2, 3],
                setters: people,
            });
            return {
                readings: readings.filter((row) => numberOf(row) % plates.length === kit),
                target: { ...targets[0], target, chassis: design.chassis, cross_camber_max_deg: 0.25 },
            };
        }),
    );
    const readings = simulated
        .flatMap((one) => one.readings)
        .map((row) => ({
            ...row,
            visit: `${target} ${row.visit}`,
            measured_at: `0000-${String(1 + (numberOf(row) % 12)).padStart(2, '0')}-15${String(row.measured_at).slice(10)}`,
            target: row.target === null ? null : target,
        }));
    return {
        readings,
        targets: simulated.filter((_, place) => place % plates.length === 0).map((one) => one.target),
    };
}

/**
 * An invented field of 100 cars of five chassis on three kits: fits for two targets of each chassis by six people on four gauges, two adjustments a
 * car, and 2,000 session visits with four corners read before and after; the boxes of the example season.
 */
export function largeField(): Readonly<Record<string, Rows>> {
    const street = fits(801, 'street', -0.5);
    const track = fits(901, 'track', -1.1);
    const fleet = simulateFleet({ ...shared, seed: 821, visits: 2, plates, grossShare: 0.03 });
    const season = simulateSessions({
        ...shared,
        seed: 831,
        sessions: 20,
        plates,
        slipShare: 0.08,
        otherShare: 0.01,
        carShare: 0.02,
    });
    return {
        readings: [
            ...inYear(2023, street.readings),
            ...inYear(2024, track.readings),
            ...inYear(2025, fleet.readings),
            ...inYear(2026, season.readings),
        ],
        sessions: season.sessions.map((row, place) => ({
            ...row,
            vehicle: String(row.vehicle).replace('-s', '-'),
            started_at: `2026${String(row.started_at).slice(4)}`,
            surface: place % 5 === 0 ? 'gravel' : 'track',
        })),
        kits: plates.map((plate) => ({ ...plate })),
        targets: [...street.targets, ...track.targets],
        hardware,
        shafts,
    };
}

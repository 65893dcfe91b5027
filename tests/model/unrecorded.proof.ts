import { beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { type Fleet, simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate, slantedPlate } from '../../fixtures/physics/kits.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import type { DriftRow, UnrecordedRow } from '../../src/contracts/results/drift.js';
import { drift, driftNeeds } from '../../src/model/drift.js';
import { modelOf, type Rows } from '../support/memory.js';

const plates = [{ ...onePlate, index_count: 1 }, slantedPlate];

interface Place {
    vehicle: string;
    corner: string;
    visit: string;
}
const keyOf = ({ vehicle, corner, visit }: Place) => `${vehicle} ${corner} ${visit}`;

async function askedOf(input: Parameters<typeof modelOf>[0]) {
    const db = await modelOf(input, 1, driftNeeds);
    const found = await drift(db);
    db.close();
    return found;
}

/** Readings of a visit a month, marks written; one session of each car, so that its record is asked. */
describe('bearings that were moved without a record, or came to rest elsewhere than their pointers say', () => {
    let fleet: Fleet;
    let rows: UnrecordedRow[];
    /** How far the bearing went besides what its pointers say, by where; of a visit in which it came to rest elsewhere it stands right by the next. */
    const moved = new Map<string, number>();
    beforeAll(async () => {
        fleet = simulateFleet({
            seed: 8101,
            designs,
            vehicles: 8,
            visits: 8,
            plates,
            grossShare: 0.05,
            errors: ['slip'],
            unrecordedShare: 0.05,
        });
        const sessions = fleet.cars.map(({ vehicle }) => ({
            session: 'shakedown',
            vehicle,
            started_at: '2026-02-15T10:00',
            surface: 'track',
        }));
        const input = { kits: fleet.kits, readings: fleet.readings, sessions } as Record<string, unknown>;
        ({ unrecorded: rows } = await askedOf(input as Record<'kits' | 'readings' | 'sessions', Rows>));
        const add = (key: string, mm: number) => moved.set(key, (moved.get(key) ?? 0) + mm);
        for (const one of fleet.events) {
            add(`${one.at} ${keyOf(one)}`, one.slip_mm);
            const next = one.visit.replace(/\d+$/, (n) => String(Number(n) + 1));
            if (one.at === 'while it was set')
                add(`before the visit ${keyOf({ ...one, visit: next })}`, -one.slip_mm);
        }
    }, 120_000);

    const placeOf = (row: UnrecordedRow) =>
        `${row.phase === 'before' ? 'before the visit' : 'while it was set'} ${keyOf(row)}`;

    test('are found as far as readings tell, and hardly anything else', () => {
        const places = new Set(rows.map(placeOf));
        // The rest before the second visit holds the session, and is judged as one.
        const asked = [...moved].filter(([key]) => !/^before the visit .*-2$/.test(key));
        const shareFound = (least: number, most: number) => {
            const own = asked.filter(([, mm]) => Math.abs(mm) >= least && Math.abs(mm) < most);
            expect(own.length).toBeGreaterThan(20);
            return own.filter(([key]) => places.has(key)).length / own.length;
        };
        // A move of 2 mm is two to three standard errors of what two readings tell here, at odds of 0.03 to 0.05.
        expect(shareFound(1.5, 3)).toBeGreaterThan(0.2);
        expect(shareFound(3, 9)).toBeGreaterThan(0.65);
        const wrong = rows.filter((row) => !moved.has(placeOf(row)));
        const restCount = fleet.readings.length - 4 * fleet.cars.length;
        expect(wrong.length / restCount).toBeLessThan(0.005);
        const expected = rows.reduce((sum, { p_held }) => sum + p_held!, 0);
        expect(wrong.length).toBeLessThan(expected + 3 * Math.sqrt(expected));
    });

    test('as moves along the plate whose 95 % intervals hold what they were', () => {
        const slips = rows.filter((row) => row.verdict === 'plate_moved' && moved.has(placeOf(row)));
        expect(slips.length).toBeGreaterThan(25);
        const within = slips.filter((row) => {
            const size = Math.hypot(row.slip_out_mm!, row.slip_aft_mm!);
            const error = Math.hypot(row.slip_out_std_error_mm!, row.slip_aft_std_error_mm!);
            return Math.abs(size - Math.abs(moved.get(placeOf(row))!)) <= 1.96 * error;
        });
        // Three standard errors of a share of 0.95 of them below it.
        expect(within.length / slips.length).toBeGreaterThan(
            0.95 - 3 * Math.sqrt((0.95 * 0.05) / slips.length),
        );
    });
});

test('what slipped and was put right unread is closed by the day on which it was found so', async () => {
    const season = simulateSessions({ seed: 8201, designs, plates, vehicles: 4, sessions: 8 });
    const fleet = simulateFleet({ seed: 8202, designs, vehicles: 6, visits: 2, plates });
    const { rows, unrecorded } = await askedOf({
        kits: season.kits as Rows,
        readings: [...fleet.readings, ...season.readings] as Rows,
        sessions: season.sessions as Rows,
    });
    const slipped = new Set(season.truth.filter(({ cause }) => cause === 'slip').map(keyOf));
    const isNamed = (row: DriftRow) => row.verdict === 'plate_moved' && slipped.has(keyOf(row));
    const named = rows.filter((row) => isNamed(row) && !row.visit.endsWith('-8'));
    expect(named.length).toBeGreaterThan(40);
    const closed = named.filter(({ put_right_on }) => put_right_on !== null);
    expect(closed.length / named.length).toBeGreaterThan(0.95);
    expect(closed.every(({ is_open, words }) => !is_open && words.includes('put right on'))).toBe(true);
    // Of the last session nobody knows what followed.
    const last = rows.filter((row) => isNamed(row) && row.visit.endsWith('-8'));
    expect(last.every(({ is_open, put_right_on }) => is_open && put_right_on === null)).toBe(true);
    const others = unrecorded.filter(({ verdict }) => verdict !== 'put_right');
    expect(others.length).toBeLessThan(0.01 * season.truth.length);
}, 120_000);

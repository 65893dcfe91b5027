import { expect, test } from 'vitest';
import { z } from 'zod';
import { Random } from '../../fixtures/physics/random.js';
import { gauges, gaugesNeeds } from '../../src/model/gauges.js';
import { walkedNotes } from '../../src/model/walkedNotes.js';
import { modelOf, type Rows } from '../support/memory.js';

/** A check visit: both rears read three times with one gauge. */
function checked(random: Random, car: number, week: number, gauge: string | null, off: number): Rows {
    const moment = new Date(Date.UTC(2026, 0, 5) + week * 7 * 86_400_000).toISOString().slice(0, 10);
    return ['RL', 'RR'].flatMap((corner) => {
        const mounting = random.normal(0, 0.06);
        return [1, 2, 3].map((repeat) => ({
            vehicle: `car ${car}`,
            chassis: 'OTTER',
            corner,
            measured_at: `${moment}T10:0${repeat}`,
            visit: `car ${car} week ${week}`,
            visit_kind: 'check',
            phase: 'before',
            repeat,
            camber_deg: Math.round(100 * (-1.5 + 0.1 * car + off + mounting + random.normal(0, 0.04))) / 100,
            gauge,
        }));
    });
}

async function told(readings: Rows) {
    const db = await modelOf({ readings }, 1, gaugesNeeds);
    const answer = await gauges(db);
    db.close();
    return answer;
}

test('two gauges half a degree apart are compared, and told as a pair', async () => {
    const random = new Random(21);
    const readings = Array.from({ length: 12 }, (_, car) => [
        ...checked(random, car, 0, 'rack', 0),
        ...checked(random, car, 3, 'rim', 0.5),
    ]).flat();
    const { rows, notes } = await told(readings);
    const rim = rows.find(({ name, response }) => name === 'rim' && response === 'camber_deg')!;
    expect(rim.bias_deg).not.toBeNull();
    const [pair] = rim.compared;
    expect(pair).toMatchObject({ other_gauge: 'rack', setting_count: 24 });
    expect(Math.abs(pair!.difference_deg - 0.5)).toBeLessThan(3 * pair!.std_error_deg);
    // Two set-ups and the means of three: sqrt(2 (0.06^2 + 0.04^2 / 3)) over the root of 24 settings is 0.019 deg.
    expect(pair!.std_error_deg).toBeGreaterThan(0.012);
    expect(pair!.std_error_deg).toBeLessThan(0.028);
    expect(notes.some((note) => note.startsWith('rim reads camber 0.'))).toBe(true);
});

test('a gauge that walks 0.4 deg in 40 weeks raises the alarm, a steady one does not', async () => {
    const walk = async (rate: number) => {
        const random = new Random(22);
        const readings = Array.from({ length: 6 }, (_, car) =>
            [0, 10, 20, 30, 40].flatMap((week) => checked(random, car, week, 'rack', rate * week)),
        ).flat();
        const { rows, notes } = await told(readings);
        const rack = rows.find(({ name, response }) => name === 'rack' && response === 'camber_deg')!;
        return {
            walks: rack.walks,
            rate: rack.walk_deg_per_week!,
            noted: notes.some((note) => note.includes(' walks: ')),
        };
    };
    const walking = await walk(0.01);
    expect(walking).toMatchObject({ walks: true, noted: true });
    expect(walking.rate).toBeCloseTo(0.01, 2);
    expect(await walk(0)).toMatchObject({ walks: false, noted: false });
});

const asked = z.object({
    vehicle: z.string(),
    camber_bias_deg: z.number(),
    camber_bias_var_deg2: z.number(),
});

test('what a gauge has walked by the day of a reading is taken off it, and said', async () => {
    const random = new Random(24);
    const weeks = [0, 10, 20, 30, 40];
    const rears = Array.from({ length: 6 }, (_, car) =>
        weeks.flatMap((week) => checked(random, car, week, 'rack', 0.01 * week)),
    ).flat();
    const front = (vehicle: string, measured_at: string) => ({
        vehicle,
        chassis: 'OTTER',
        corner: 'FL',
        measured_at,
        visit: vehicle,
        visit_kind: 'check',
        phase: 'before',
        camber_deg: -1,
        gauge: 'rack',
    });
    const readings = [
        ...rears,
        front('early', '2026-01-05'),
        front('late', '2026-10-12'),
        front('undated', ''),
        front('mistyped', '2062-10-12'),
    ];
    const db = await modelOf({ readings }, 1, ['setting_problems', 'present_corners', 'reader_noise']);
    const rows = await db.rows(
        asked,
        `select vehicle, camber_bias_deg, camber_bias_var_deg2
        from asked_corners(['early', 'late', 'mistyped', 'undated'], null, null::json[]) order by vehicle`,
    );
    const [early, late, mistyped, undated] = rows;
    expect(late!.camber_bias_deg - early!.camber_bias_deg).toBeCloseTo(0.4, 1);
    expect(undated!.camber_bias_deg).toBeCloseTo((late!.camber_bias_deg + early!.camber_bias_deg) / 2, 2);
    // 36 years after the others: no more than the 40 weeks tell.
    expect(mistyped!.camber_bias_deg - undated!.camber_bias_deg).toBeCloseTo(0.4, 1);
    // Of a reading of any day all of the walk is left: 0.4^2 / 12.
    expect(undated!.camber_bias_var_deg2 - late!.camber_bias_var_deg2).toBeCloseTo((0.4 * 0.4) / 12, 2);
    const notes = await walkedNotes(db, 'late');
    db.close();
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(
        /^rack walks \(see gauges\): of the camber that it read on 2026-10-12 0\.[12]\d \+-0\.0\d deg/,
    );
});

test('readings without a gauge are one of their own and counted out loud', async () => {
    const random = new Random(23);
    const readings = Array.from({ length: 8 }, (_, car) => [
        ...checked(random, car, 0, 'rack', 0),
        ...checked(random, car, 3, null, 0.1),
    ]).flat();
    const { rows, notes } = await told(readings);
    const unnamed = rows.find(({ name, response }) => name === '(not named)' && response === 'camber_deg')!;
    expect(unnamed.reading_count).toBe(48);
    expect(unnamed.bias_deg!).toBeGreaterThan(0);
    expect(notes.some((note) => note.startsWith('48 readings name no gauge'))).toBe(true);
});

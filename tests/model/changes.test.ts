import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import type { Database } from '../../src/db/database.js';
import { advise, adviseNeeds } from '../../src/model/advise.js';
import { drift, driftNeeds } from '../../src/model/drift.js';
import { modelOf, type Rows } from '../support/memory.js';

/** A corner of OTTER, read on arrival at three events; between the second and the third it reads 0.5 deg more negative. */
const reading = (corner: 'FL' | 'FR', event: number, camber_deg: number) => ({
    vehicle: 'sprung',
    chassis: 'OTTER',
    corner,
    measured_at: `2026-0${event}-01T09:00`,
    visit: `event ${event}`,
    visit_kind: 'session',
    phase: 'before',
    session: `race ${event}`,
    kit: 'AMBER-3',
    plate_index: 1,
    mark_1: 0,
    camber_deg,
    caster_deg: 6.5,
    toe_deg: 0.05,
    sai_deg: 13 - (camber_deg + 1),
    gauge: 'rack A',
});

const adjusted = (visit: string, month: number, phase: 'before' | 'after', camber_deg: number) =>
    (['FL', 'FR'] as const).map((corner) => ({
        ...reading(corner, month, camber_deg),
        vehicle: 'returned',
        visit,
        visit_kind: 'adjust',
        session: null,
        phase,
        target: phase === 'after' ? 'street' : null,
    }));

let db: Database;
beforeAll(async () => {
    const fleet = simulateFleet({ seed: 21, designs: designs.slice(0, 1), vehicles: 8, visits: 2 });
    db = await modelOf(
        {
            kits: fleet.kits as Rows,
            targets: [
                {
                    target: 'street',
                    camber_deg: -1,
                    camber_tol_deg: 0.15,
                    caster_deg: 6.5,
                    caster_tol_deg: 0.5,
                },
            ],
            readings: [
                ...fleet.readings,
                ...(['FL', 'FR'] as const).flatMap((corner) => [
                    reading(corner, 1, -1),
                    reading(corner, 2, -1),
                    reading(corner, 3, -1.5),
                ]),
                ...adjusted('job 1', 1, 'before', -1.4),
                ...adjusted('job 1', 1, 'after', -1),
                ...adjusted('job 2', 3, 'before', -1.6),
                ...adjusted('job 2', 3, 'after', -1),
            ] as Rows,
            changes: [
                { vehicle: 'sprung', changed_at: '2026-02-15T10:00', corner: 'FL', what: 'spring' },
                { vehicle: 'sprung', changed_at: '2026-03-20', what: 'height', note: '345 to 327 mm' },
                { vehicle: 'returned', changed_at: '2026-02-15', what: 'subframe' },
            ],
        },
        1,
        [...driftNeeds, ...adviseNeeds, 'set_visits'],
    );
});
afterAll(() => db.close());

test('a corner that was changed between two readings is not compared over it, the other one is', async () => {
    const { rows } = await drift(db, { vehicle: 'sprung' });
    const of = (visit: string, corner: string) =>
        rows.find((row) => row.visit === visit && row.corner === corner)!;
    expect(of('event 1', 'FL')).toMatchObject({ verdict: 'held', after_visit: 'event 2' });
    expect(of('event 2', 'FL').reason).toBe('spring changed on 2026-02-15');
    expect(of('event 2', 'FL').p_held).toBeNull();
    expect(of('event 2', 'FR')).toMatchObject({ reason: null, after_visit: 'event 3' });
    expect(of('event 2', 'FR').p_held).toBeLessThan(0.1);
    expect(of('event 3', 'FR').reason).toBe('no reading after the session');
});

test('advise says that the newest reading is from before a change', async () => {
    const { notes } = await advise(db, { vehicle: 'sprung', targets: ['street'] });
    const said = notes.filter((note) => note.includes('from before a change'));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('front left and front right');
    expect(said[0]).toContain('the height was changed on 2026-03-20 (345 to 327 mm)');
    expect(said[0]).not.toContain('spring');
});

test('a car that came back changed has not moved by itself', async () => {
    const [row] = await db.rows(
        z.object({ came_back_visit: z.string(), moved: z.boolean().nullable() }),
        "select came_back_visit, moved from set_visits where vehicle = 'returned' and visit = 'job 1'",
    );
    expect(row).toEqual({ came_back_visit: 'job 2', moved: null });
});

import { expect, test } from 'vitest';
import { check } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { modelOf } from '../support/memory.js';

type Row = Record<string, string | number>;

/** Repeats of one state that read these casters. */
const state = (visit: string, casters: readonly number[], more: readonly Row[] = []) =>
    casters.map((caster_deg, i) => ({
        vehicle: 'A',
        chassis: 'X',
        corner: 'FL',
        measured_at: '2026-01-01',
        visit,
        visit_kind: 'check',
        phase: 'before',
        repeat: i + 1,
        camber_deg: -1,
        caster_deg,
        gauge: 'rack',
        ...more[i],
    }));

test('a repeat far off the others is told, of two the later one; not over mountings or conditions', async () => {
    const readings = [
        ...Array.from({ length: 12 }, (_, i) => state(`sound ${i}`, [5, 5.2, 5.1])).flat(),
        ...state('odd', [5.1, 7.1, 5.0]),
        ...state('two', [5.1, 3.1]),
        ...state('mounted anew', [5, 7], [{}, { remounted: 'yes' }]),
        ...state('driver in', [5, 7], [{ driver_aboard: 'no' }, { driver_aboard: 'yes' }]),
        ...state('two people', [5, 7], [{ technician: 'Ada' }, { technician: 'Ben' }]),
    ];
    const only = { only: 'repeats_disagree' };
    const db = await modelOf({ readings }, 1, checkNeeds(only));
    const { rows } = await check(db, only);
    db.close();
    expect(rows.map(({ visit, finding }) => [visit, finding]).sort()).toEqual([
        ['odd', 'caster is 7.10 deg in repeat 2 (before) and 5.05 deg in the others on average'],
        ['two', 'caster is 3.10 deg in repeat 2 (before) and 5.10 deg in the other'],
    ]);
    expect(rows.every(({ p_mistake }) => p_mistake! > 0.99)).toBe(true);
});

import { expect, test } from 'vitest';
import { classShareNeeds, classShares } from '../../src/model/classShares.js';
import { modelOf } from '../support/memory.js';

test('who stands at the limit is over it for half of the readings; rules of the chassis win; a car is one trial', async () => {
    const reading = (vehicle: string, chassis: string, corner: string, camber_deg: number) => ({
        vehicle,
        chassis,
        corner,
        camber_deg,
        measured_at: '2026-03-01',
        visit: 'v',
        visit_kind: 'check',
        phase: 'before',
    });
    const readings = [
        reading('A', 'X', 'FL', -2),
        reading('A', 'X', 'FR', -2),
        reading('B', 'Y', 'FL', -2),
        reading('B', 'Y', 'FR', -9),
    ];
    const rules = [
        { class: 'club', angle: 'camber', low_deg: -2, gauge_uncertainty_deg: 0.1 },
        { class: 'club', chassis: 'Y', angle: 'camber', low_deg: -5 },
        { class: 'club', angle: 'caster', high_deg: 7 },
    ];
    const db = await modelOf({ readings, rules }, 1, classShareNeeds);
    const [note] = await classShares(db, 'club', {});
    // Jeffreys of half a success in one trial: Beta(1, 1), the uniform distribution.
    const half = 'of 2 front corners of 1 car (95 % interval 3 % to 98 %)';
    expect(note).toContain(`X camber, no more negative than -2.00 deg (gauge good to 0.1 deg): 50 % ${half}`);
    // One corner far within, the other far beyond.
    expect(note).toContain('Y camber, no more negative than -5.00 deg');
    expect(note).toContain(`50 % ${half}.`);
    expect(note).not.toContain('caster');
    expect(await classShares(db, 'club', { chassis: 'X' })).not.toContain('Y camber');
    db.close();
});

import { expect, test } from 'vitest';
import { onlyWithout, tableAndFile } from '../../src/errors/askMessages.js';
import { callBackNeeds, callBacks } from '../../src/model/callBacks.js';
import { inProcess } from '../support/inProcess.js';
import { modelOf } from '../support/memory.js';
import { plainKit, standing } from '../support/settings.js';

/** A setting to target T (camber -1 +- 0.2) that read `camber_deg`. */
const set = (vehicle: string, day: string, camber_deg: number) =>
    standing('FL', {
        vehicle,
        visit: `${vehicle} ${day}`,
        visit_kind: 'adjust',
        phase: 'after',
        measured_at: `${day}T10:00`,
        camber_deg,
        target: 'T',
    });

test('cars to call back: newest setting only, oldest first, all of them', async () => {
    const db = await modelOf(
        {
            kits: [plainKit],
            targets: [{ target: 'T', camber_deg: -1, camber_tol_deg: 0.2 }],
            readings: [
                set('late', '2026-03-01', -0.2),
                set('early', '2026-01-01', -1.7),
                set('good', '2026-02-01', -1),
                set('mended', '2026-01-01', -0.2),
                set('mended', '2026-02-01', -1.05),
            ],
        },
        1,
        callBackNeeds,
    );
    try {
        const { rows, notes } = await callBacks(db, { guard: 1.65, comeBackDays: 30 });
        expect(rows.map((row) => [row.vehicle, row.day, row.verdict])).toEqual([
            ['early', '2026-01-01', 'outside'],
            ['late', '2026-03-01', 'outside'],
        ]);
        expect(rows[0]!.error_deg).toBeCloseTo(-0.7, 9);
        expect(notes[0]).toBe(
            '2 cars to call back, oldest first: 2 outside for sure, 0 missed with under an even chance of being inside.',
        );
    } finally {
        db.close();
    }
});

test('without a setting that can be judged nobody is told that no car has to be called', async () => {
    const db = await modelOf(
        { kits: [plainKit], readings: [set('A', '2026-03-01', -0.2)] },
        1,
        callBackNeeds,
    );
    try {
        const { rows, notes } = await callBacks(db, { guard: 1.65, comeBackDays: 30 });
        expect(rows).toEqual([]);
        expect(notes).toEqual([
            'No install or adjust visit has an after reading that can be judged, so whom to call back cannot be told.',
        ]);
    } finally {
        db.close();
    }
});

test('options that do not go together, and an export without a file, say what to write', async () => {
    expect((await inProcess('audit', '--cars', '--by', 'kit')).err).toContain(onlyWithout('--by', '--cars'));
    const bare = await inProcess('export', 'slopes');
    expect([bare.status, bare.err.includes(tableAndFile())]).toEqual([2, true]);
    const listed = JSON.parse((await inProcess('export', '--list', '--json')).out);
    expect(listed.rows.map(({ table }: { table: string }) => table)).toEqual(
        expect.arrayContaining(['readings', 'slopes', 'present_corners']),
    );
});

import { expect, test } from 'vitest';
import { modelOf } from '../support/memory.js';

// Forms of ISO 8601 that the contract lets in (columns.ts, momentPattern); the wall time is what is written ahead of a zone.
const forms: [string, string][] = [
    ['2025-03-01', '2025-03-01 00:00:00'],
    ['2025-03-01T10:30', '2025-03-01 10:30:00'],
    ['2025-03-01 10:30', '2025-03-01 10:30:00'],
    ['2025-03-01T10:30Z', '2025-03-01 10:30:00'],
    ['2025-03-01T10:30+01:00', '2025-03-01 10:30:00'],
    ['2025-03-01T10:30 -05', '2025-03-01 10:30:00'],
    ['2025-03-01T10:30:15', '2025-03-01 10:30:15'],
    ['2025-03-01T10:30:15,25', '2025-03-01 10:30:15'],
    ['2025-03-01T10:30:15.25Z', '2025-03-01 10:30:15'],
    ['2025-03-01T10:30:15+0100', '2025-03-01 10:30:15'],
];

test('a moment is the wall time as written, with or without a zone', async () => {
    const readings = forms.map(([measured_at], i) => ({
        vehicle: `V${i}`,
        chassis: 'A',
        corner: 'FL',
        measured_at,
        visit: 'v',
        visit_kind: 'check',
        phase: 'before',
        camber_deg: -1,
    }));
    const db = await modelOf({ readings }, undefined, ['placements']);
    const found = await db.cells(
        'select measured_at, cast(measured_ts as varchar) as measured_ts from placements order by vehicle',
    );
    expect(found.map((row) => [row.measured_at, row.measured_ts])).toEqual(forms);
    db.close();
});

import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { range, rangeNeeds } from '../../src/model/range.js';
import { slopes, slopesNeeds } from '../../src/model/slopes.js';
import { modelOf } from '../support/memory.js';
import { exactMoves, plainKit, standing } from '../support/settings.js';

const per = { camber: [0.09, 0], caster: [0, 0.09], toe: [-0.04, 0] } as const;
const given = { camber: [...per.camber], caster: [...per.caster], toe: [...per.toe] } as Parameters<
    typeof exactMoves
>[1];

/** Moves of a chassis with some angles left out. */
const moves = (chassis: string, left: readonly string[]) =>
    exactMoves(chassis, given).map((row) => ({
        ...row,
        phase: row.phase === 'after' ? 'moved' : row.phase,
        ...Object.fromEntries(left.map((angle) => [angle, null])),
    }));

let db: Database;
beforeAll(async () => {
    db = await modelOf(
        {
            kits: [plainKit],
            targets: [{ target: 'T', camber_deg: -1, camber_tol_deg: 0.2, caster_deg: 7, caster_tol_deg: 1 }],
            readings: [
                ...moves('NO-CASTER', ['caster_deg']),
                ...moves('NO-TOE', ['toe_deg', 'caster_deg']),
                standing('FL', { chassis: 'NEW' }),
            ],
        },
        1,
        [...slopesNeeds, ...rangeNeeds],
    );
});
afterAll(() => db.close());

describe('notes name what is missing', () => {
    test('caster where toe was read, toe where it was not', async () => {
        const { notes } = await slopes(db);
        const of = (chassis: string) => notes.filter((note) => note.startsWith(`${chassis}: `)).join(' ');
        expect(of('NO-CASTER')).toContain('Read caster with camber.');
        expect(of('NO-CASTER')).not.toContain('Read toe');
        expect(of('NO-TOE')).toContain('Read toe with camber.');
        expect(of('NO-TOE')).not.toContain('Read caster');
    });

    test('no other chassis is named where none has moves of the angle', async () => {
        const { notes } = await range(db, { chassis: 'NEW' });
        const borrowed = notes.filter((note) => note.includes('NEW') && note.includes('millimetre'));
        expect(borrowed).toEqual([
            'No move of NEW tells what a millimetre does to camber, so the other chassis and geometry have to.',
            'No move of NEW or any other chassis tells what a millimetre does to caster, so geometry alone has to.',
        ]);
    });
});

import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { UsageError, UserError } from '../../src/errors/errors.js';
import {
    indexBeyond,
    indexUnknown,
    kitNeeded,
    kitNotForChassis,
    kitReachUnknown,
    noAngles,
    noFrontReading,
    noKitFitted,
    placementUnknown,
    targetNotForChassis,
    targetWithoutAngles,
    targetWithoutTolerance,
    unknownName,
    unreadableCorner,
} from '../../src/errors/messages.js';
import { type AdviseQuestion, advise, adviseNeeds } from '../../src/model/advise.js';
import { clocking, clockingNeeds } from '../../src/model/clocking.js';
import { parseGivenCorners } from '../../src/model/givenCorner.js';
import { modelOf } from '../support/memory.js';
import { plainKit, standing } from '../support/settings.js';

const good = { camber_deg: -1, camber_tol_deg: 0.2 };
let db: Database;
beforeAll(async () => {
    db = await modelOf(
        {
            kits: [
                plainKit,
                { ...plainKit, kit: 'for Z', chassis: 'Z' },
                { kit: 'endless', mark_pitch_mm: 2 },
            ],
            targets: [
                { target: 'T', ...good },
                { target: 'for Z', chassis: 'Z', ...good },
                { target: 'bare', toe_deg: 0, toe_tol_deg: 0.05 },
                { target: 'no tolerance', camber_deg: -1, camber_tol_deg: 0.2, caster_deg: 7 },
            ],
            readings: [
                standing('FL'),
                standing('FL', { vehicle: 'original', kit: null, plate_index: null, mark_1: null }),
                standing('FL', { vehicle: 'no mark', mark_1: null }),
                standing('FL', {
                    vehicle: 'no index',
                    plate_index: null,
                    mark_1: null,
                    offset_out_mm: 1,
                    offset_aft_mm: 0,
                }),
                standing('FL', { vehicle: 'toe only', camber_deg: null, caster_deg: null, toe_deg: 0.1 }),
                {
                    ...standing('FL', { vehicle: 'rear only', kit: null, plate_index: null, mark_1: null }),
                    corner: 'RL',
                },
            ],
        },
        1,
        [...adviseNeeds, ...clockingNeeds],
    );
});
afterAll(() => db.close());

const kits = ['K', 'endless', 'for Z'];
const vehicles = ['A', 'no index', 'no mark', 'original', 'rear only', 'toe only'];
const targets = ['T', 'bare', 'for Z', 'no tolerance'];
const line = (file: string, number: number) => ({ file, line: number });
const told = parseGivenCorners(['FL=-0.5,7']);

const cases: [string, Partial<AdviseQuestion>, string][] = [
    ['an unknown car', { vehicle: 'B' }, unknownName('vehicle', 'B', vehicles)],
    ['an unknown target', { targets: ['U'] }, unknownName('target', 'U', targets)],
    ['an unknown kit', { kit: 'L' }, unknownName('kit', 'L', kits)],
    ['a target of another chassis', { targets: ['for Z'] }, targetNotForChassis('for Z', 'X', ['Z'])],
    ['a target without angles', { targets: ['bare'] }, targetWithoutAngles('bare', line('targets.csv', 4))],
    [
        'a target without a tolerance',
        { targets: ['T', 'no tolerance'] },
        targetWithoutTolerance('no tolerance', 'caster_tol_deg', line('targets.csv', 5)),
    ],
    ['a kit of another chassis', { kit: 'for Z' }, kitNotForChassis('for Z', 'X', ['Z'])],
    ['a kit without ends', { kit: 'endless' }, kitReachUnknown('endless', line('kits.csv', 4))],
    ['an index that the kit has not', { index: 4 }, indexBeyond(4, 'K', 3)],
    ['original mounts', { vehicle: 'original' }, noKitFitted('original', kits)],
    [
        'an unknown placement',
        { vehicle: 'no mark' },
        placementUnknown('FL', 'mark_1 is blank', line('readings.csv', 4)),
    ],
    ['an unknown index', { vehicle: 'no index' }, indexUnknown('FL', line('readings.csv', 5))],
    ['no camber and caster', { vehicle: 'toe only' }, noAngles('FL', line('readings.csv', 6))],
    ['no front', { vehicle: 'rear only' }, noFrontReading('rear only')],
    ['told corners without a kit', { vehicle: undefined, from: told }, kitNeeded(kits)],
];

test.each(cases)('advise with %s says what, where and how to mend', async (_, question, message) => {
    const asked = advise(db, { vehicle: 'A', targets: ['T'], ...question });
    await expect(asked).rejects.toThrow(UserError);
    await expect(asked).rejects.toThrow(message);
});

test('clocking has the same words for the same mistakes', async () => {
    const ask = (question: object) => clocking(db, { vehicle: 'A', kit: 'K', targets: ['T'], ...question });
    await expect(ask({ vehicle: 'B' })).rejects.toThrow(unknownName('vehicle', 'B', vehicles));
    await expect(ask({ vehicle: undefined, chassis: 'Q' })).rejects.toThrow(
        unknownName('chassis', 'Q', ['X']),
    );
    await expect(ask({ kit: 'endless' })).rejects.toThrow(kitReachUnknown('endless', line('kits.csv', 4)));
    await expect(ask({ targets: ['for Z'] })).rejects.toThrow(targetNotForChassis('for Z', 'X', ['Z']));
    await expect(ask({ vehicle: 'no mark' })).rejects.toThrow('mark_1 is blank');
});

test('--from takes two or four numbers for FL and FR, once each and within the ranges of the contract', () => {
    expect(parseGivenCorners(['FL=-0.8,6.4', 'fr = -.9, 6.3, 2, -1'])).toEqual([
        { corner: 'FL', camber_deg: -0.8, caster_deg: 6.4, offset_out_mm: null, offset_aft_mm: null },
        { corner: 'FR', camber_deg: -0.9, caster_deg: 6.3, offset_out_mm: 2, offset_aft_mm: -1 },
    ]);
    for (const text of [
        '',
        'FL',
        'FL=-0.8',
        'RL=-0.8,6',
        'FL=-0.8,6,1',
        'FL=-0.8,6,1,2,3',
        'FL=a,6',
        'FL=-13,6',
        'FL=-1,6,41,0',
        'FL=-0,8,6,4,1',
        'FL=-0,8,6,4',
    ]) {
        expect(() => parseGivenCorners([text]), text).toThrow(UsageError);
        expect(() => parseGivenCorners([text]), text).toThrow(unreadableCorner(text));
    }
    expect(() => parseGivenCorners(['FL=-1,6', 'FL=-1,6'])).toThrow(UsageError);
});

test('nothing of an answer is NaN or infinite', async () => {
    const { rows } = await advise(db, { vehicle: 'A', targets: ['T'], toeDiameter_mm: 600 });
    for (const [name, value] of Object.entries(rows[0]!)) {
        if (typeof value === 'number') expect(Number.isFinite(value), name).toBe(true);
    }
});

import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { z } from 'zod';
import { schemas } from '../../reports/slopes/rows.js';
import { Database } from '../../src/db/database.js';
import type { Cell } from '../../src/db/values.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { escapeText } from '../../src/report/html.js';
import { loadReport } from '../../src/report/registry.js';
import { equalToeWords } from '../../src/units/equalToeWords.js';
import { modelTable } from '../support/modelTable.js';
import { slopesDatabase } from '../support/pages/slopes.js';
import { reportPage } from '../support/reportPage.js';

const stamp = { version: '1.2.3', reading_count: 0, load_count: 0 };
type Row = Record<string, Cell>;

/** A database of one chassis: camber and caster slopes out and aft, moves `[out, aft, change, weight]` of camber. */
async function oneChassis(moves: [number, number, number, number][], slope: Row = {}): Promise<Database> {
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    const key = (index: number): Row => ({
        chassis: 'A',
        vehicle: `car ${index}`,
        corner: 'FL',
        visit: 'v',
        from_phase: 'before',
        to_phase: 'moved',
        response: 'camber_deg',
    });
    const base = (response: string, axis: string): Row => ({
        chassis: 'A',
        response,
        axis,
        move_count: 0,
        vehicle_count: 0,
        downweighted_count: 0,
        install_count: 0,
        unequal_toe_count: 0,
        no_caster_count: 0,
        reliability_corrected: false,
        reason: 'the bearing never moved along this axis with one kit in place',
    });
    const camber = {
        estimate_deg_per_mm: 0.1,
        conf_low_deg_per_mm: 0.08,
        conf_high_deg_per_mm: 0.12,
        df: 4,
        move_count: moves.length,
        vehicle_count: moves.length,
        shrunk_deg_per_mm: 0.09,
        shrunk_std_error_deg_per_mm: 0.005,
        effective_length_mm: 573,
        reason: null,
        ...slope,
    };
    await modelTable(
        db,
        'moves',
        moves.map(([out, aft, change], index) => ({
            ...key(index),
            move_out_mm: out,
            move_aft_mm: aft,
            change_deg: change,
            weight: 1,
        })),
    );
    await modelTable(
        db,
        'move_fits',
        moves.map(([, , , weight], index) => ({ ...key(index), robust_weight: weight })),
    );
    await modelTable(db, 'slopes', [
        { ...base('camber_deg', 'out'), ...camber },
        { ...base('camber_deg', 'aft'), ...camber, estimate_deg_per_mm: 0.01 },
        ...['caster_deg', 'toe_deg', 'sai_deg'].flatMap((response) => [
            base(response, 'out'),
            base(response, 'aft'),
        ]),
    ]);
    await db.run(
        `create table angle_priors as ${modelFiles().find(({ table }) => table === 'angle_priors')!.query}`,
    );
    return db;
}

let db: Database;
afterEach(() => db.close());

async function rows<K extends keyof typeof schemas>(query: K): Promise<z.infer<(typeof schemas)[K]>[]> {
    const { queries } = await loadReport('slopes');
    return db.rows(schemas[query], readFileSync(queries.get(query)!, 'utf8')) as never;
}

/** The texts that `page` does not say. */
function missing(page: string, ...texts: string[]): string[] {
    const shown = page.replaceAll('\u00a0', ' ');
    return texts.filter((text) => !shown.includes(escapeText(text)));
}

describe('rows of the plots, by hand', () => {
    beforeEach(async () => {
        // out 10 mm and aft 2 mm: 10 * 0.1 + 2 * 0.01 = 1.02; the second one inboard; the third far off; the fourth only aft.
        db = await oneChassis([
            [10, 2, 1.02, 1],
            [-10, 0, -0.9, 0.8],
            [5, 0, 9, 0],
            [0, 3, 0.03, 1],
        ]);
    });

    test('a chassis without moves is none that the moves come from', async () => {
        await db.run("insert into slopes select * replace ('B' as chassis, 0 as move_count) from slopes");
        const page = await reportPage('slopes', db, stamp);
        expect(
            missing(page, 'From 4 moves of 4 cars on 1 chassis', '4 moves of 4 cars on 1 of 2 chassis'),
        ).toEqual([]);
    });

    test('a change is shown less the part of the other axis; a move across the axis is left out', async () => {
        const moves = await rows('moves');
        expect(moves.map(({ move_mm, partial_deg }) => [move_mm, Number(partial_deg.toFixed(9))])).toEqual([
            [10, 1.02 - 2 * 0.01],
            [-10, -0.9],
            [5, 9],
        ]);
    });

    test('the frame holds well-weighted moves and the line, 6 % wider; what lies beyond is drawn on its edge', async () => {
        const moves = await rows('moves');
        expect(moves.map((row) => row.drawn_as)).toEqual([
            'full weight',
            'full weight',
            'beyond the picture',
        ]);
        // x -10..10; y from the line's -1.0 at -10 mm to 1.0 at 10 mm.
        expect(moves[0]).toMatchObject({
            frame_x_low_mm: -11.2,
            frame_x_high_mm: 11.2,
            frame_y_low_deg: -1.12,
            frame_y_high_deg: 1.12,
        });
        expect(moves[2]).toMatchObject({ shown_mm: 5, shown_deg: 1.12, partial_deg: 9 });
    });

    test('line and band run through 0 over the well-weighted moves, and the band is turned over on the inboard side', async () => {
        const lines = (await rows('lines')).map((row) =>
            [row.move_mm, row.low_deg, row.line_deg, row.high_deg, row.shrunk_deg].map((value) =>
                Number(value!.toFixed(9)),
            ),
        );
        expect(lines).toEqual([
            [-10, -1.2, -1, -0.8, -0.9],
            [0, 0, 0, 0, 0],
            [10, 0.8, 1, 1.2, 0.9],
        ]);
    });

    test('an effective length takes its interval from that of the slope: 57.2958 / 0.12 and / 0.08', async () => {
        const [length] = await rows('lengths');
        expect(length!.effective_length_mm).toBe(573);
        expect(length!.low_mm).toBeCloseTo(57.29578 / 0.12, 3);
        expect(length!.high_mm).toBeCloseTo(57.29578 / 0.08, 3);
        expect(length).toMatchObject({ beyond_low: null, beyond_high: null });
    });

    test('the prior band is mean +- 1.96 sd, the shrunken interval +- 1.96 standard errors', async () => {
        const camber = (await rows('forest')).filter((row) => row.response === 'camber_deg');
        expect(camber.map((row) => row.kind)).toEqual(['own', 'shrunken']);
        expect(camber[0]!.prior_low_deg_per_mm).toBeCloseTo(0.087 - 1.96 * 0.01, 12);
        expect(camber[1]!.low_deg_per_mm).toBeCloseTo(0.09 - 1.96 * 0.005, 12);
    });

    test('the sentence says estimate, interval and counts; the missing ones say why', async () => {
        const page = await reportPage('slopes', db, stamp);
        expect(
            missing(
                page,
                'One millimetre outboard is worth 0.100° of camber (95 % interval 0.080 to 0.120, 4 moves of 4 cars).',
            ),
        ).toEqual([]);
        expect(
            missing(
                page,
                'No own slope of caster per millimetre rearward and toe per millimetre outboard: the bearing never moved along this axis with one kit in place.',
            ),
        ).toEqual([]);
        expect(missing(page, '1 of 4 angle changes (25.0 %)')).toEqual([]);
    });
});

test('an interval that lies wholly beyond the picture leaves only its arrow-head', async () => {
    db = await oneChassis([[1, 0, 2.5, 1]], {
        estimate_deg_per_mm: 2.5,
        conf_low_deg_per_mm: 2.4,
        conf_high_deg_per_mm: 2.6,
    });
    const own = (await rows('forest')).find((row) => row.response === 'camber_deg' && row.kind === 'own')!;
    expect(own).toMatchObject({ slope_shown: null, low_shown: null, high_shown: null, beyond_low: null });
    expect(own.beyond_high).toBe(own.frame_high_deg_per_mm);
});

test('one car has a slope but no interval, and the sentence says so', async () => {
    const reason = 'one vehicle carries most of what tells of this axis: no standard error between vehicles';
    db = await oneChassis([[10, 0, 1, 1]], {
        conf_low_deg_per_mm: null,
        conf_high_deg_per_mm: null,
        df: null,
        reason,
    });
    const page = await reportPage('slopes', db, stamp);
    expect(
        missing(
            page,
            `One millimetre outboard is worth 0.100° of camber (no interval: ${reason}, 1 move of 1 car).`,
        ),
    ).toEqual([]);
});

test.each([0, 1])(
    'what equal toe lacks, toe or caster, is said with its count: %i',
    async (no_caster_count) => {
        const counts = { unequal_toe_count: 1, no_caster_count };
        db = await oneChassis([[10, 0, 1, 1]], counts);
        const page = await reportPage('slopes', db, stamp);
        expect(missing(page, equalToeWords(counts)[0]!)).toEqual([]);
    },
);

test('without any move the page still says what is missing', async () => {
    db = await oneChassis([], {
        estimate_deg_per_mm: null,
        conf_low_deg_per_mm: null,
        conf_high_deg_per_mm: null,
        effective_length_mm: null,
        df: null,
        reason: 'no usable move',
    });
    const page = await reportPage('slopes', db, stamp);
    expect(missing(page, 'There is no move yet')).toEqual([]);
    expect(missing(page, '0.090° of camber per millimetre outboard (0.080 to 0.100)')).toEqual([]);
});

test('many moves are thinned evenly and the picture says so', async () => {
    db = await oneChassis(
        Array.from({ length: 2000 }, (_, index) => [1 + (index % 9), 0, 0.1 * (1 + (index % 9)), 1]),
    );
    const moves = await rows('moves');
    // One chassis has three plots, so each gets 2000 / 3 points.
    expect(moves.length).toBe(666);
    expect(moves[0]!.panel_move_count).toBe(2000);
    expect(missing(await reportPage('slopes', db, stamp), '(666 of 2,000 moves drawn)')).toEqual([]);
});

test.each([3, 25])('of moves set apart the same share is drawn as of the others: 1 in %d', async (every) => {
    db = await oneChassis(
        Array.from({ length: 2000 }, (_, index) => [
            1 + (index % 9),
            0,
            0.1 * (1 + (index % 9)),
            index % every === 0 ? 0.1 : 1,
        ]),
    );
    const moves = await rows('moves');
    const apart = moves.filter((row) => (row.robust_weight as number) < 0.5).length;
    expect(moves.length).toBe(666);
    expect(Math.abs(apart - (666 * Math.ceil(2000 / every)) / 2000)).toBeLessThanOrEqual(1);
});

test('a field of 64 chassis and 1,872 cars stays under 1.5 MB', async () => {
    db = await slopesDatabase({ cars: 6 });
    for (const table of ['moves', 'move_fits', 'slopes']) {
        await db.run(`create or replace table ${table} as
            select * replace (chassis || copy as chassis, ${table === 'slopes' ? '' : 'vehicle || copy as vehicle'})
            from ${table}, (select unnest(['', ' b', ' c', ' d', ' e', ' f', ' g', ' h']) as copy)`);
    }
    expect(await rows('totals')).toMatchObject([{ chassis_count: 64, vehicle_count: 8 * 6 * 39 }]);
    const page = await reportPage('slopes', db, stamp);
    expect(Buffer.byteLength(page)).toBeLessThan(1_500_000);
    expect(
        missing(
            page,
            'Slopes of the 40 chassis with the most moves, of 64',
            'Only the 12 chassis with the most moves',
        ),
    ).toEqual([]);
});

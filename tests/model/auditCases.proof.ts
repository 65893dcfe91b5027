import { afterEach, describe, expect, test } from 'vitest';
import type { AuditRow } from '../../src/contracts/results/audit.js';
import type { Database } from '../../src/db/database.js';
import { audit, auditNeeds } from '../../src/model/audit.js';
import { type AuditQuestion, parseGroupings } from '../../src/model/auditQuestion.js';
import { emptyDatabase, insertRows, modelOf, type Rows } from '../support/memory.js';

let db: Database;
afterEach(() => db.close());

type Row = Rows[number];

const target = {
    target: 'street',
    camber_deg: -1,
    camber_tol_deg: 0.2,
    caster_deg: 6,
    caster_tol_deg: 0.6,
};
const kit = { kit: 'K', mark_pitch_mm: 2, mark_min: -5, mark_max: 5 };

/** An after of an install: camber is what counts, caster as wanted. */
function leftAt(vehicle: string, corner: string, camber_deg: number, more: Row = {}): Row {
    return {
        vehicle,
        chassis: 'C',
        corner,
        measured_at: '2026-03-01T10:00',
        visit: `${vehicle} visit`,
        visit_kind: 'install',
        phase: 'after',
        kit: 'K',
        plate_index: 1,
        mark_1: 1,
        camber_deg,
        caster_deg: 6,
        target: 'street',
        technician: 'T',
        ...more,
    };
}

async function asked(readings: Rows, question: Partial<AuditQuestion> = {}, targets: Rows = [target]) {
    db = await modelOf({ readings, targets, kits: [kit] }, 1, auditNeeds);
    return audit(db, question);
}

function row(rows: readonly AuditRow[], response: string, group = 'all'): AuditRow {
    return rows.find((one) => one.response === response && one.group === group)!;
}

// As usual (sql/slopes/slope_priors, sql/gauges/gauge_priors): camber 0.05 deg for one reading, set-up 0.06, bias of the gauge 0.05 and of the person 0.025: u = 0.096 deg.
const five = [0, 0.09, -0.15, 0.25, 0.31].map((error, i) => leftAt(`car ${i}`, 'FL', -1 + error));

describe('five settings by hand', () => {
    test('counts, share, mean, spread, Cp and Cpk', async () => {
        const { rows } = await asked(five, { guard: 1 });
        const camber = row(rows, 'camber_deg');
        // 0 and 0.09 inside 0.2 - 0.096, -0.15 and 0.25 between, 0.31 beyond 0.2 + 0.096; three of five inside as read.
        expect(camber).toMatchObject({
            count: 5,
            in_count: 2,
            out_count: 1,
            undecided_count: 2,
            hit_count: 3,
            hit_share: 3 / 5,
        });
        const mean = (0 + 0.09 - 0.15 + 0.25 + 0.31) / 5;
        const squares = [0, 0.09, -0.15, 0.25, 0.31].reduce((sum, e) => sum + (e - mean) ** 2, 0);
        const sd = Math.sqrt(squares / 4);
        expect(camber.mean_error_deg).toBeCloseTo(mean, 9);
        expect(camber.sd_deg).toBeCloseTo(sd, 9);
        expect(camber.cp).toBeCloseTo(0.4 / (6 * sd), 6);
        expect(camber.cpk).toBeCloseTo((0.2 - mean) / (3 * sd), 6);
        expect(camber.gauge_sd_deg).toBeCloseTo(0.05, 9);
        expect(camber.workmanship_sd_deg).toBeCloseTo(Math.sqrt(sd * sd - 0.05 ** 2), 9);
        // A visit hits when all of it does; the cars have one corner each.
        expect(row(rows, 'all')).toMatchObject({
            count: 5,
            hit_count: 3,
            out_count: 1,
            mean_error_deg: null,
        });
    });

    test('guard 0 is simple acceptance: nothing is left undecided', async () => {
        const { rows } = await asked(five, { guard: 0 });
        expect(row(rows, 'camber_deg')).toMatchObject({ in_count: 3, out_count: 2, undecided_count: 0 });
    });

    test('repeats shrink the repeat part of the uncertainty only: set-up and bias stay', async () => {
        const read = (error: number, count: number) =>
            Array.from({ length: count }, (_, i) => leftAt('car', 'FL', -1 + error, { repeat: i + 1 }));
        const verdict = async (error: number, count: number) => {
            const { rows } = await asked(read(error, count), { guard: 1 });
            const { in_count, undecided_count } = row(rows, 'camber_deg');
            db.close();
            return { in_count, undecided_count };
        };
        // u of one reading 0.0962 deg, of the mean of four 0.0857: 0.11 is beyond 0.2 - 0.0962 and within 0.2 - 0.0857, 0.14 beyond both.
        expect(await verdict(0.11, 1)).toEqual({ in_count: 0, undecided_count: 1 });
        expect(await verdict(0.11, 4)).toEqual({ in_count: 1, undecided_count: 0 });
        expect(await verdict(0.14, 4)).toEqual({ in_count: 0, undecided_count: 1 });
        db = await modelOf({}, 1, []);
    });

    test('shifting target and readings alike changes nothing; mirroring turns the mean', async () => {
        const first = row((await asked(five)).rows, 'camber_deg');
        db.close();
        const shifted = five.map((one) => ({ ...one, camber_deg: (one.camber_deg as number) - 1.5 }));
        const again = row((await asked(shifted, {}, [{ ...target, camber_deg: -2.5 }])).rows, 'camber_deg');
        expect(again).toEqual(first);
        db.close();
        const turned = five.map((one) => ({ ...one, camber_deg: -2 - (one.camber_deg as number) }));
        const mirrored = row((await asked(turned)).rows, 'camber_deg');
        expect(mirrored.mean_error_deg).toBeCloseTo(-first.mean_error_deg!, 12);
        expect(mirrored.cpk).toBeCloseTo(first.cpk!, 9);
        expect(mirrored.hit_count).toBe(first.hit_count);
    });

    test('neither the order of the rows nor the number of threads changes a digit', async () => {
        const many = Array.from({ length: 60 }, (_, i) =>
            leftAt(`car ${i}`, i % 2 === 0 ? 'FL' : 'FR', -1 + 0.013 * (i % 31) - 0.2, {
                technician: `T${i % 4}`,
            }),
        );
        const first = (await asked(many, { by: ['technician'] })).rows;
        db.close();
        db = await modelOf({ readings: [...many].reverse(), targets: [target], kits: [kit] }, 2, auditNeeds);
        expect((await audit(db, { by: ['technician'] })).rows).toEqual(first);
    });
});

describe('which target', () => {
    test('the row of the chassis wins over the row for any; blank wanted angles are not judged', async () => {
        const own = { ...target, chassis: 'C', camber_deg: -2, caster_deg: null, caster_tol_deg: null };
        const { rows } = await asked([leftAt('car', 'FL', -2)], {}, [target, own]);
        expect(row(rows, 'camber_deg')).toMatchObject({ count: 1, hit_count: 1, mean_error_deg: 0 });
        expect(row(rows, 'caster_deg')).toBeUndefined();
    });

    test('what cannot be judged is said with its reason and place', async () => {
        const { rows, notes } = await asked(
            [
                leftAt('a', 'FL', -1),
                leftAt('b', 'FL', -1, { target: null }),
                leftAt('c', 'FL', -1, { target: 'sprint' }),
                leftAt('d', 'FL', -1, { camber_deg: null }),
                leftAt('e', 'RL', -1),
            ],
            {},
        );
        expect(row(rows, 'camber_deg').count).toBe(1);
        expect(notes).toEqual(
            expect.arrayContaining([
                'Not judged: 1 setting, because no target is named (first: readings.csv line 3).',
                'Not judged: 1 setting, because target sprint is not in the targets table for C (first: readings.csv line 4).',
                'Not judged: 1 setting, because camber was not read (first: readings.csv line 5).',
            ]),
        );
    });

    test('a tolerance that is blank leaves the angle unjudged', async () => {
        const { rows, notes } = await asked([leftAt('a', 'FL', -1)], {}, [
            { ...target, camber_tol_deg: null },
        ]);
        expect(row(rows, 'camber_deg')).toBeUndefined();
        expect(notes.join()).toContain('the target gives no tolerance for camber');
    });

    test('cross limits: left minus right, both of one visit', async () => {
        const limited = [{ ...target, cross_camber_max_deg: 0.1 }];
        const pair = [leftAt('car', 'FL', -1.1), leftAt('car', 'FR', -0.95)];
        const { rows } = await asked(pair, { guard: 0 }, limited);
        expect(row(rows, 'cross_camber_deg')).toMatchObject({ count: 1, out_count: 1, hit_count: 0 });
        expect(row(rows, 'cross_camber_deg').mean_error_deg).toBeCloseTo(-0.15, 9);
        // Both corners hit, the pair does not: nor does the visit.
        expect(row(rows, 'camber_deg').hit_count).toBe(2);
        expect(row(rows, 'all').hit_count).toBe(0);
    });
});

describe('where misses come from', () => {
    test('a pointer at the end beyond which camber would come nearer: the hardware ran out of travel', async () => {
        const { rows } = await asked([
            // Camber too positive: it wants to go inboard. At the inboard end it cannot, at the outboard end it could.
            leftAt('short', 'FL', -0.5, { mark_1: -5 }),
            leftAt('other end', 'FL', -0.5, { mark_1: 5 }),
            leftAt('mirrored', 'FR', -0.5, { mark_1: 5, plate_hand: 'left' }),
            leftAt('hit', 'FL', -1, { mark_1: -5 }),
        ]);
        expect(row(rows, 'camber_deg')).toMatchObject({ count: 4, out_count: 3, end_of_scale_count: 2 });
        // The mean is of the hands alone.
        expect(row(rows, 'camber_deg').mean_error_deg).toBeCloseTo((0.5 + 0) / 2, 9);
    });

    test('a slot that does not move the angle is not to blame', async () => {
        const { rows } = await asked([leftAt('car', 'FL', -1, { mark_1: -5, caster_deg: 8 })]);
        expect(row(rows, 'caster_deg')).toMatchObject({ out_count: 1, end_of_scale_count: 0 });
    });

    test('a miss that the plate as clocked, another index, or none could have met', async () => {
        // Slot across the car at 2 mm out: 0.4 deg of camber lies along it. Caster wants 11 mm aft, less 6.6 mm of tolerance: the
        // other hand's plate in index 2 points there (60 deg from outboard), the own one inboard of it. 33 mm is beyond all.
        await asked([
            leftAt('along', 'FL', -0.6),
            leftAt('aside', 'FL', -1, { caster_deg: 5 }),
            leftAt('far', 'FL', -1, { caster_deg: 3 }),
        ]);
        expect(await db.cells('select vehicle, reach from setting_reach order by vehicle')).toEqual([
            { vehicle: 'along', reach: 'as clocked' },
            { vehicle: 'aside', reach: 'another index' },
            { vehicle: 'far', reach: 'no index' },
        ]);
    });

    test('misses of many tolerances count as misses but not in the spread', async () => {
        const { rows, notes } = await asked([...five, leftAt('typo', 'FL', 1)]);
        expect(row(rows, 'camber_deg')).toMatchObject({ count: 6, far_off_count: 1, hit_count: 3 });
        expect(row(rows, 'camber_deg').mean_error_deg).toBeCloseTo(0.1, 9);
        expect(notes.join('\n')).toContain('1 setting miss by more than 5 tolerances');
    });

    test('toe not set again: as the sheet says, and as the readings look', async () => {
        const foundAt = (corner: string, more: Row = {}): Row => ({
            ...leftAt('car', corner, -1.8),
            phase: 'before',
            target: null,
            mark_1: -4,
            toe_deg: 0.05,
            ...more,
        });
        const toes = [{ ...target, toe_deg: 0.05, toe_tol_deg: 0.05 }];
        const said = leftAt('car', 'FL', -1, { toe_deg: 0.05, toe_reset: 'no' });
        const { notes } = await asked(
            [foundAt('FL'), said, foundAt('FR'), leftAt('car', 'FR', -1, { toe_deg: 0.05 })],
            {},
            toes,
        );
        expect(await db.cells('select corner, toe_state from toe_settings order by corner')).toEqual([
            { corner: 'FL', toe_state: 'not set again' },
            { corner: 'FR', toe_state: 'set' },
        ]);
        expect(notes).toContain(
            'Toe was not set again after the bearing moved at 1 corner (first: readings.csv line 3).',
        );
    });
});

describe('come-backs', () => {
    const visit = (name: string, day: string, camber: number, more: Row = {}) => {
        const state = leftAt('car', 'FL', camber, {
            visit: name,
            measured_at: `2026-03-${day}T10:00`,
            ...more,
        });
        return [
            { ...state, phase: 'before', target: null, camber_deg: more.found ?? -1 } as Row,
            { ...state, measured_at: `2026-03-${day}T11:00` },
        ].map(({ found: _, ...rest }: Row & { found?: unknown }) => rest as Row);
    };
    const later = leftAt('other', 'FL', -1, { measured_at: '2026-09-01T10:00' });

    test('the same target again within the time: moved or not by the first readings', async () => {
        const { rows } = await asked([
            ...visit('v1', '01', -1),
            ...visit('v2', '10', -1, { found: -1.04 }),
            ...visit('v3', '20', -1, { found: -1.6 }),
            later,
        ]);
        // v1 came back unmoved (0.04 of noise 0.05 root 2), v2 moved by 0.6; of the first visits only v1 has had its time, and lost it.
        expect(row(rows, 'all')).toMatchObject({
            come_back_count: 2,
            come_back_moved_count: 1,
            come_back_unmoved_count: 1,
            first_count: 1,
            first_hit_count: 0,
        });
    });

    test('another target is another job, and so is the same one much later', async () => {
        const track = { ...target, target: 'track' };
        const { rows } = await asked(
            [
                ...visit('v1', '01', -1),
                ...visit('v2', '05', -1, { target: 'track' }),
                ...visit('v3', '09', -1),
                later,
            ],
            {},
            [target, track],
        );
        expect(row(rows, 'all').come_back_count).toBe(0);
        db.close();
        const two = await asked([...visit('v1', '01', -1), ...visit('v2', '20', -1), later], {
            comeBackDays: 10,
        });
        expect(row(two.rows, 'all').come_back_count).toBe(0);
    });
});

describe('groups', () => {
    const crew = (name: string, hits: number, misses: number) =>
        Array.from({ length: hits + misses }, (_, i) =>
            leftAt(`${name} ${i}`, 'FL', i < hits ? -1 : -0.5, { technician: name }),
        );

    test('small groups are drawn towards the shop; the order is said to be open', async () => {
        const readings = [...crew('Ada', 2, 0), ...crew('Bo', 27, 3), ...crew('Cy', 24, 6)];
        const { rows, notes } = await asked(readings, { by: ['technician'] });
        const ada = row(rows, 'all', 'Ada');
        expect(ada.hit_share).toBe(1);
        expect(ada.shrunk_share!).toBeGreaterThan(53 / 62 - 0.01);
        expect(ada.shrunk_share!).toBeLessThan(0.9);
        expect(ada).toMatchObject({ rank_low: 1, rank_high: 3 });
        expect(notes.join('\n')).toContain('The order by technician is not supported by the data');
    });

    test('a difference that many settings bear out is an order', async () => {
        const { rows, notes } = await asked([...crew('Ada', 95, 5), ...crew('Bo', 50, 50)], {
            by: ['technician'],
        });
        expect(row(rows, 'all', 'Ada')).toMatchObject({ rank: 1, rank_low: 1, rank_high: 1 });
        expect(row(rows, 'all', 'Bo')).toMatchObject({ rank: 2, rank_low: 2, rank_high: 2 });
        expect(notes.join('\n')).not.toContain('not supported');
    });

    test('pairs, blanks and the whole', async () => {
        const readings = [
            ...crew('Ada', 1, 0),
            leftAt('x', 'FL', -1, { technician: null, kit: null, plate_index: null, mark_1: null }),
        ];
        const { rows } = await asked(readings, { by: ['technician', 'kit'] });
        expect(rows.filter((one) => one.response === 'all').map((one) => [one.split_by, one.group])).toEqual([
            ['overall', 'all'],
            ['technician,kit', '(not named) / (original mount)'],
            ['technician,kit', 'Ada / K'],
        ]);
    });

    test('anonymous: numbers for the names, the counts stay', async () => {
        const { rows, notes } = await asked([...crew('Ada', 3, 1), ...crew('Bo', 2, 2)], {
            by: ['technician'],
            anonymous: true,
        });
        const groups = rows.filter((one) => one.response === 'all' && one.split_by !== 'overall');
        expect(groups.map((one) => one.group).sort()).toEqual(['technician 1', 'technician 2']);
        expect(groups.map((one) => one.hit_count).sort()).toEqual([2, 3]);
        expect(JSON.stringify({ rows, notes })).not.toMatch(/Ada|Bo/);
    });

    test('months come in order with the limits of the p chart', async () => {
        const month = (number: number, hits: number, misses: number) =>
            crew(`m${number}`, hits, misses).map((one) => ({
                ...one,
                measured_at: `2026-0${number}-10T10:00`,
            }));
        const { rows, notes } = await asked([...month(1, 19, 1), ...month(2, 8, 12), ...month(3, 19, 1)], {
            by: ['month'],
        });
        const months = rows.filter((one) => one.split_by === 'month' && one.response === 'all');
        expect(months.map((one) => one.group)).toEqual(['2026-01', '2026-02', '2026-03']);
        const centre = 14 / 60;
        expect(months[1]!.chart_centre).toBeCloseTo(centre, 12);
        expect(months[1]!.chart_high).toBeCloseTo(centre + 3 * Math.sqrt((centre * (1 - centre)) / 20), 12);
        expect(notes).toContain(
            '2026-02: 12 of 20 visits missed, beyond the limits of the p chart (0 % to 52 %).',
        );
    });

    test('names that cannot be split by are bad usage', () => {
        expect(parseGroupings('technician, kit')).toEqual(['technician', 'kit']);
        expect(() => parseGroupings('colour')).toThrow('technician, gauge, kit, chassis, month');
        expect(() => parseGroupings('kit,kit')).toThrow('two different ones');
        expect(() => parseGroupings('kit,gauge,month')).toThrow('it got 3');
    });
});

describe('stopping at the edge', () => {
    test('settings that stop short on the side from which they came', async () => {
        const readings = Array.from({ length: 20 }, (_, i) => {
            const side = i % 2 === 0 ? 1 : -1;
            const state = leftAt(`car ${i}`, 'FL', -1 + side * (0.1 + 0.004 * i));
            return [{ ...state, phase: 'before', target: null, mark_1: 4, camber_deg: -1 + side }, state];
        }).flat();
        const camber = row((await asked(readings)).rows, 'camber_deg');
        expect(camber.came_count).toBe(20);
        expect(camber.short_share).toBeCloseTo((0.1 + 0.004 * 9.5) / 0.2, 9);
        expect(camber.p_short_by_chance!).toBeLessThan(1e-6);
        expect(camber.mean_error_deg).toBeCloseTo(-0.002, 9);
    });

    test('many in the outer quarter of the band, few before it', async () => {
        const errors = [0.16, 0.17, 0.18, 0.19, -0.16, -0.17, -0.18, 0.2, 0.12];
        const readings = errors.map((error, i) => leftAt(`car ${i}`, 'FL', -1 + error));
        const camber = row((await asked(readings)).rows, 'camber_deg');
        expect(camber).toMatchObject({ edge_count: 8, before_edge_count: 1 });
        // 10 of 512 outcomes of nine coins have at least eight heads.
        expect(camber.p_edge_by_chance).toBeCloseTo(10 / 512, 9);
    });
});

test('without targets, readings or afters the answer says what to do', async () => {
    db = await emptyDatabase();
    await expect(audit(db)).rejects.toThrow('holds no readings');
    await insertRows(db, 'readings', [leftAt('car', 'FL', -1)]);
    await expect(audit(db)).rejects.toThrow('Load a targets file');
    db.close();
    const { rows, notes } = await asked([leftAt('car', 'FL', -1, { phase: 'before' })]);
    expect(rows).toEqual([]);
    expect(notes[0]).toBe('No install or adjust visit has an after reading that can be judged.');
});

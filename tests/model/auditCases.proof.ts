import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { AuditRow } from '../../src/contracts/results/audit.js';
import type { Database } from '../../src/db/database.js';
import { audit, auditNeeds } from '../../src/model/audit.js';
import { type AuditQuestion, parseGroupings } from '../../src/model/auditQuestion.js';
import { emptyDatabase, insertRows, modelOf, type Rows } from '../support/memory.js';

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

/** Shops of one database, each a chassis and cars of its own; what tells of noise or slopes is kept apart from what rests on priors alone. */
class Shops {
    readonly readings: Row[] = [];
    readonly targets: Row[] = [target];
    db!: Database;

    async model(readings: Rows = this.readings, threads = 1): Promise<Database> {
        return modelOf({ readings, targets: this.targets, kits: [kit] }, threads, auditNeeds);
    }
}
const priors = new Shops();
const evidence = new Shops();
beforeAll(async () => {
    for (const shops of [priors, evidence]) shops.db = await shops.model();
});
afterAll(() => {
    for (const { db } of [priors, evidence]) db.close();
});

let count = 0;

/** Tables that an audit reads, each with its chassis. */
const audited = ['target_settings', 'set_visits', 'chassis_sums', 'audit_notes'];

/** A shop with these readings; targets of its own win over `target`. It is asked as if the database held nothing else. */
function shop(readings: Rows, targets: Rows = [], shops = priors) {
    const chassis = `C${++count}`;
    const own = shops === evidence ? { gauge: `${chassis} rack`, technician: `${chassis} T` } : {};
    const first = shops.readings.length + 2;
    shops.readings.push(
        ...readings.map((one) => ({ ...one, ...own, chassis, vehicle: `${chassis} ${one.vehicle}` })),
    );
    shops.targets.push(...targets.map((one) => ({ ...one, chassis })));
    return {
        chassis,
        /** Line of the reading, counted from 0. */
        line: (n: number) => `readings.csv line ${first + n}`,
        async asked(question: Partial<AuditQuestion> = {}) {
            const { db } = shops;
            for (const table of audited)
                await db.run(
                    `create or replace temp table ${table} as select * from memory.main.${table} where chassis = '${chassis}'`,
                );
            return audit(db, question);
        },
        cells: (columns: string, table: string) =>
            shops.db.cells(
                `select replace(vehicle, '${chassis} ', '') as vehicle, ${columns} from ${table} where chassis = '${chassis}' order by all`,
            ),
    };
}

function row(rows: readonly AuditRow[], response: string, group = 'all'): AuditRow {
    return rows.find((one) => one.response === response && one.group === group)!;
}

// As usual (sql/gauges/angle_priors, sql/gauges/angle_priors): camber 0.05 deg for one reading, set-up 0.06, bias of the gauge 0.05 and of the person 0.025: u = 0.096 deg.
const five = [0, 0.09, -0.15, 0.25, 0.31].map((error, i) => leftAt(`car ${i}`, 'FL', -1 + error));

describe('five settings by hand', () => {
    const whole = shop(five);

    test('counts, share, mean, spread, Cp and Cpk', async () => {
        const { rows } = await whole.asked({ guard: 1 });
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
        const { rows } = await whole.asked({ guard: 0 });
        expect(row(rows, 'camber_deg')).toMatchObject({ in_count: 3, out_count: 2, undecided_count: 0 });
    });

    const read = (error: number, repeats: number, shops = evidence) =>
        shop(
            Array.from({ length: repeats }, (_, i) => leftAt('car', 'FL', -1 + error, { repeat: i + 1 })),
            [],
            shops,
        );
    const repeated = [read(0.11, 1, priors), read(0.11, 4), read(0.14, 4)];

    test('repeats shrink the repeat part of the uncertainty only: set-up and bias stay', async () => {
        const verdicts: Partial<AuditRow>[] = [];
        for (const one of repeated) {
            const { in_count, undecided_count } = row((await one.asked({ guard: 1 })).rows, 'camber_deg');
            verdicts.push({ in_count, undecided_count });
        }
        // u of one reading 0.0962 deg, of the mean of four 0.0857: 0.11 is beyond 0.2 - 0.0962 and within 0.2 - 0.0857, 0.14 beyond both.
        expect(verdicts).toEqual([
            { in_count: 0, undecided_count: 1 },
            { in_count: 1, undecided_count: 0 },
            { in_count: 0, undecided_count: 1 },
        ]);
    });

    const shifted = shop(
        five.map((one) => ({ ...one, camber_deg: (one.camber_deg as number) - 1.5 })),
        [{ ...target, camber_deg: -2.5 }],
    );
    const turned = shop(five.map((one) => ({ ...one, camber_deg: -2 - (one.camber_deg as number) })));

    test('shifting target and readings alike changes nothing; mirroring turns the mean', async () => {
        const first = row((await whole.asked()).rows, 'camber_deg');
        expect(row((await shifted.asked()).rows, 'camber_deg')).toEqual(first);
        const mirrored = row((await turned.asked()).rows, 'camber_deg');
        expect(mirrored.mean_error_deg).toBeCloseTo(-first.mean_error_deg!, 12);
        expect(mirrored.cpk).toBeCloseTo(first.cpk!, 9);
        expect(mirrored.hit_count).toBe(first.hit_count);
    });

    shop(
        Array.from({ length: 60 }, (_, i) =>
            leftAt(`car ${i}`, i % 2 === 0 ? 'FL' : 'FR', -1 + 0.013 * (i % 31) - 0.2, {
                technician: `T${i % 4}`,
            }),
        ),
    );

    test('neither the order of the rows nor the number of threads changes a digit', async () => {
        const backwards = await priors.model(priors.readings.toReversed(), 2);
        for (const table of audited) await priors.db.run(`drop table if exists temp.${table}`);
        for (const by of [['technician'], ['chassis']] as const) {
            const { rows } = await audit(priors.db, { by: [...by] });
            expect(rows.length).toBeGreaterThan(30);
            expect((await audit(backwards, { by: [...by] })).rows).toEqual(rows);
        }
        backwards.close();
    });
});

describe('one group', () => {
    // Eight cars: both sides alike, sometimes both out.
    const alike = shop(
        Array.from({ length: 8 }, (_, i) =>
            ['FL', 'FR'].map((corner, side) =>
                leftAt(`car ${i}`, corner, -1 + 0.06 * ((i * 3) % 8) - 0.2 + 0.02 * side),
            ),
        ).flat(),
    );

    test.each(['kit', 'technician', 'chassis'] as const)(
        'a group of all settings, by %s, has the intervals of all',
        async (by) => {
            const { rows } = await alike.asked({ by: [by] });
            const bare = ({ split_by: _, group, rank, ...rest }: AuditRow) =>
                Object.entries(rest).filter(([name]) => !/^(shrunk|rank)/.test(name));
            const [all, one] = [true, false].map((whole) =>
                rows.filter((row) => (row.group === 'all') === whole),
            );
            expect(all!.length).toBeGreaterThan(2);
            expect(row(all!, 'camber_deg').design_effect).toBeGreaterThan(1.1);
            expect(one!.map(bare)).toEqual(all!.map(bare));
        },
    );
});

describe('which target', () => {
    const own = { ...target, camber_deg: -2, caster_deg: null, caster_tol_deg: null };
    const ofChassis = shop([leftAt('car', 'FL', -2)], [own]);

    test('the row of the chassis wins over the row for any; blank wanted angles are not judged', async () => {
        const { rows } = await ofChassis.asked();
        expect(row(rows, 'camber_deg')).toMatchObject({ count: 1, hit_count: 1, mean_error_deg: 0 });
        expect(row(rows, 'caster_deg')).toBeUndefined();
    });

    const unjudged = shop([
        leftAt('a', 'FL', -1),
        leftAt('b', 'FL', -1, { target: null }),
        leftAt('c', 'FL', -1, { target: 'sprint' }),
        leftAt('d', 'FL', -1, { camber_deg: null }),
        leftAt('e', 'RL', -1),
    ]);

    test('what cannot be judged is said with its reason and place', async () => {
        const { rows, notes } = await unjudged.asked();
        const { chassis, line } = unjudged;
        expect(row(rows, 'camber_deg').count).toBe(1);
        expect(notes).toEqual(
            expect.arrayContaining([
                `Not judged: 1 setting, because no target is named (first: ${line(1)}).`,
                `Not judged: 1 setting, because target sprint is not in the targets table for ${chassis} (first: ${line(2)}).`,
                `Not judged: 1 setting, because camber was not read (first: ${line(3)}).`,
            ]),
        );
    });

    const blank = shop([leftAt('a', 'FL', -1)], [{ ...target, camber_tol_deg: null }]);

    test('a tolerance that is blank leaves the angle unjudged', async () => {
        const { rows, notes } = await blank.asked();
        expect(row(rows, 'camber_deg')).toBeUndefined();
        expect(notes.join()).toContain('the target gives no tolerance for camber');
    });

    const pair = shop(
        [leftAt('car', 'FL', -1.1), leftAt('car', 'FR', -0.95)],
        [{ ...target, cross_camber_max_deg: 0.1 }],
    );

    test('cross limits: left minus right, both of one visit', async () => {
        const { rows } = await pair.asked({ guard: 0 });
        expect(row(rows, 'cross_camber_deg')).toMatchObject({ count: 1, out_count: 1, hit_count: 0 });
        expect(row(rows, 'cross_camber_deg').mean_error_deg).toBeCloseTo(-0.15, 9);
        // Both corners hit, the pair does not: nor does the visit.
        expect(row(rows, 'camber_deg').hit_count).toBe(2);
        expect(row(rows, 'all').hit_count).toBe(0);
    });
});

describe('where misses come from', () => {
    const ended = shop([
        // Camber too positive: it wants to go inboard. At the inboard end it cannot, at the outboard end it could.
        leftAt('short', 'FL', -0.5, { mark_1: -5 }),
        leftAt('other end', 'FL', -0.5, { mark_1: 5 }),
        leftAt('mirrored', 'FR', -0.5, { mark_1: 5, plate_hand: 'left' }),
        leftAt('hit', 'FL', -1, { mark_1: -5 }),
    ]);

    test('a pointer at the end beyond which camber would come nearer: the hardware ran out of travel', async () => {
        const { rows } = await ended.asked();
        expect(row(rows, 'camber_deg')).toMatchObject({ count: 4, out_count: 3, end_of_scale_count: 2 });
        // The mean is of the hands alone.
        expect(row(rows, 'camber_deg').mean_error_deg).toBeCloseTo((0.5 + 0) / 2, 9);
    });

    const handsAlone = shop([
        leftAt('other end', 'FL', -0.5, { mark_1: 5 }),
        leftAt('hit', 'FL', -1, { mark_1: -5 }),
    ]);

    test('what missed at the end of the scale is not truly inside', async () => {
        const [all, hands] = [await ended.asked(), await handsAlone.asked()];
        const share = row(hands.rows, 'camber_deg').share_truly_inside as number;
        expect(share).toBeGreaterThan(0);
        expect(row(all.rows, 'camber_deg').share_truly_inside).toBeCloseTo(share / 2, 9);
    });

    const across = shop([leftAt('car', 'FL', -1, { mark_1: -5, caster_deg: 8 })]);

    test('a slot that does not move the angle is not to blame', async () => {
        const { rows } = await across.asked();
        expect(row(rows, 'caster_deg')).toMatchObject({ out_count: 1, end_of_scale_count: 0 });
    });

    // Slot across the car at 2 mm out: 0.4 deg of camber lies along it. Caster wants 11 mm aft, less 6.6 mm of tolerance: the
    // other hand's plate in index 2 points there (60 deg from outboard), the own one inboard of it. 33 mm is beyond all.
    const reaching = shop([
        leftAt('along', 'FL', -0.6),
        leftAt('aside', 'FL', -1, { caster_deg: 5 }),
        leftAt('far', 'FL', -1, { caster_deg: 3 }),
    ]);

    test('a miss that the plate as clocked, another index, or none could have met', async () => {
        expect(await reaching.cells('reach', 'setting_reach')).toEqual([
            { vehicle: 'along', reach: 'as clocked' },
            { vehicle: 'aside', reach: 'another index' },
            { vehicle: 'far', reach: 'no index' },
        ]);
    });

    const mistyped = shop([...five, leftAt('typo', 'FL', 1)]);

    test('misses of many tolerances count as misses but not in the spread', async () => {
        const { rows, notes } = await mistyped.asked();
        expect(row(rows, 'camber_deg')).toMatchObject({ count: 6, far_off_count: 1, hit_count: 3 });
        expect(row(rows, 'camber_deg').mean_error_deg).toBeCloseTo(0.1, 9);
        expect(notes.join('\n')).toContain('1 setting misses by more than 5 tolerances');
    });

    const foundAt = (corner: string): Row => ({
        ...leftAt('car', corner, -1.8),
        phase: 'before',
        target: null,
        mark_1: -4,
        toe_deg: 0.05,
    });
    const untouched = shop(
        [
            foundAt('FL'),
            leftAt('car', 'FL', -1, { toe_deg: 0.05, toe_reset: 'no' }),
            foundAt('FR'),
            leftAt('car', 'FR', -1, { toe_deg: 0.05 }),
        ],
        [{ ...target, toe_deg: 0.05, toe_tol_deg: 0.05 }],
        evidence,
    );

    test('toe not set again: as the sheet says, and as the readings look', async () => {
        const { notes } = await untouched.asked();
        expect(await untouched.cells('corner, toe_state', 'toe_settings')).toEqual([
            { vehicle: 'car', corner: 'FL', toe_state: 'not set again' },
            { vehicle: 'car', corner: 'FR', toe_state: 'set' },
        ]);
        expect(notes).toContain(
            `Toe was not set again after the bearing moved at 1 corner (first: ${untouched.line(1)}).`,
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

    const returned = shop(
        [
            ...visit('v1', '01', -1),
            ...visit('v2', '10', -1, { found: -1.04 }),
            ...visit('v3', '20', -1, { found: -1.6 }),
            later,
        ],
        [],
        evidence,
    );

    test('the same target again within the time: moved or not by the first readings', async () => {
        const { rows, notes } = await returned.asked();
        expect(notes).toContain(
            'Within 30 days a car came back 2 times: in 1 the readings had moved by more than noise, in 1 they had not.',
        );
        // v1 came back unmoved (0.04 of noise 0.05 root 2), v2 moved by 0.6; of the first visits only v1 has had its time, and lost it.
        expect(row(rows, 'all')).toMatchObject({
            come_back_count: 2,
            come_back_moved_count: 1,
            come_back_unmoved_count: 1,
            first_count: 1,
            first_hit_count: 0,
        });
    });

    const otherJob = shop(
        [
            ...visit('v1', '01', -1),
            ...visit('v2', '05', -1, { target: 'track' }),
            ...visit('v3', '09', -1),
            later,
        ],
        [target, { ...target, target: 'track' }],
        evidence,
    );
    const muchLater = shop([...visit('v1', '01', -1), ...visit('v2', '20', -1), later], [], evidence);

    test('another target is another job, and so is the same one much later', async () => {
        expect(row((await otherJob.asked()).rows, 'all').come_back_count).toBe(0);
        const { rows } = await muchLater.asked({ comeBackDays: 10 });
        expect(row(rows, 'all').come_back_count).toBe(0);
    });
});

describe('groups', () => {
    const crew = (name: string, hits: number, misses: number) =>
        Array.from({ length: hits + misses }, (_, i) =>
            leftAt(`${name} ${i}`, 'FL', i < hits ? -1 : -0.5, { technician: name }),
        );

    const ended = shop([
        ...crew('Ada', 9, 1),
        leftAt('end', 'FL', -0.5, { technician: 'Ada', mark_1: -5 }),
        ...crew('Bo', 9, 1),
    ]);

    test('shrunken shares leave out misses at the end of a scale, and the note says so', async () => {
        const { rows, notes } = await ended.asked({ by: ['technician'] });
        // 9 of 10 in either group.
        expect(row(rows, 'all', 'Ada').shrunk_share).toBeCloseTo(row(rows, 'all', 'Bo').shrunk_share!, 9);
        expect(notes.join(' ')).toContain('spread, Cp, Cpk and shrunken shares leave them out.');
        expect((await ended.asked()).notes.join(' ')).toContain('spread, Cp and Cpk leave them out.');
    });

    const small = shop([...crew('Ada', 2, 0), ...crew('Bo', 27, 3), ...crew('Cy', 24, 6)]);

    test('small groups are drawn towards the shop; the order is said to be open', async () => {
        const { rows, notes } = await small.asked({ by: ['technician'] });
        const ada = row(rows, 'all', 'Ada');
        expect(ada.hit_share).toBe(1);
        expect(ada.shrunk_share!).toBeGreaterThan(53 / 62 - 0.01);
        expect(ada.shrunk_share!).toBeLessThan(0.9);
        expect(ada).toMatchObject({ rank_low: 1, rank_high: 3 });
        expect(notes.join('\n')).toContain('with these counts any place in visits could be another.');
    });

    const halves = shop([
        ...crew('Ada', 95, 5),
        ...crew('Bo', 93, 7),
        ...crew('Cy', 60, 40),
        ...crew('Di', 58, 42),
    ]);

    test('two good and two bad groups: no place is certain, and not every one possible', async () => {
        const { rows, notes } = await halves.asked({ by: ['technician'] });
        const places = ['Ada', 'Bo', 'Cy', 'Di'].map((name) => {
            const { rank_low, rank_high } = row(rows, 'all', name);
            return [rank_low, rank_high];
        });
        expect(places).toEqual([
            [1, 2],
            [1, 2],
            [3, 4],
            [3, 4],
        ]);
        expect(notes.join('\n')).toContain(
            'The order by technician is not certain for Ada, Bo, Cy, Di: the column place says',
        );
    });

    const large = shop([...crew('Ada', 95, 5), ...crew('Bo', 50, 50)]);

    test('a difference that many settings bear out is an order', async () => {
        const { rows, notes } = await large.asked({ by: ['technician'] });
        expect(row(rows, 'all', 'Ada')).toMatchObject({ rank: 1, rank_low: 1, rank_high: 1 });
        expect(row(rows, 'all', 'Bo')).toMatchObject({ rank: 2, rank_low: 2, rank_high: 2 });
        expect(notes.join('\n')).not.toContain('The order by');
    });

    const blank = shop([
        ...crew('Ada', 1, 0),
        leftAt('x', 'FL', -1, { technician: null, kit: null, plate_index: null, mark_1: null }),
    ]);

    test('pairs, blanks and the whole', async () => {
        const { rows } = await blank.asked({ by: ['technician', 'kit'] });
        expect(rows.filter((one) => one.response === 'all').map((one) => [one.split_by, one.group])).toEqual([
            ['overall', 'all'],
            ['technician,kit', '(not named) / (original mount)'],
            ['technician,kit', 'Ada / K'],
        ]);
    });

    const named = shop([...crew('Ada', 3, 1), ...crew('Bo', 2, 2)]);

    test('anonymous: numbers for the names, the counts stay', async () => {
        const { rows, notes } = await named.asked({
            by: ['technician'],
            anonymous: true,
        });
        const groups = rows.filter((one) => one.response === 'all' && one.split_by !== 'overall');
        expect(groups.map((one) => one.group).sort()).toEqual(['technician 1', 'technician 2']);
        expect(groups.map((one) => one.hit_count).sort()).toEqual([2, 3]);
        expect(JSON.stringify({ rows, notes })).not.toMatch(/Ada|Bo/);
    });

    const month = (number: number, hits: number, misses: number) =>
        crew(`m${number}`, hits, misses).map((one) => ({
            ...one,
            measured_at: `2026-0${number}-10T10:00`,
        }));
    const quarter = shop([...month(1, 19, 1), ...month(2, 8, 12), ...month(3, 19, 1)]);

    test('months come in order with the limits of the p chart', async () => {
        const { rows, notes } = await quarter.asked({ by: ['month'] });
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
    const stopping = shop(
        Array.from({ length: 20 }, (_, i) => {
            const side = i % 2 === 0 ? 1 : -1;
            const state = leftAt(`car ${i}`, 'FL', -1 + side * (0.1 + 0.004 * i));
            return [{ ...state, phase: 'before', target: null, mark_1: 4, camber_deg: -1 + side }, state];
        }).flat(),
        [],
        evidence,
    );

    test('settings that stop short on the side from which they came', async () => {
        const camber = row((await stopping.asked()).rows, 'camber_deg');
        expect(camber.came_count).toBe(20);
        expect(camber.short_share).toBeCloseTo((0.1 + 0.004 * 9.5) / 0.2, 9);
        expect(camber.p_short_by_chance!).toBeLessThan(1e-6);
        expect(camber.mean_error_deg).toBeCloseTo(-0.002, 9);
    });

    const errors = [0.16, 0.17, 0.18, 0.19, -0.16, -0.17, -0.18, 0.2, 0.12];
    const atEdge = shop(errors.map((error, i) => leftAt(`car ${i}`, 'FL', -1 + error)));

    test('many in the outer quarter of the band, few before it', async () => {
        const camber = row((await atEdge.asked()).rows, 'camber_deg');
        expect(camber).toMatchObject({ edge_count: 8, before_edge_count: 1 });
        // 10 of 512 outcomes of nine coins have at least eight heads.
        expect(camber.p_edge_by_chance).toBeCloseTo(10 / 512, 9);
    });
});

const foundOnly = shop([leftAt('car', 'FL', -1, { phase: 'before' })]);

test('without targets, readings or afters the answer says what to do', async () => {
    const db = await emptyDatabase();
    await expect(audit(db)).rejects.toThrow('holds no readings');
    await insertRows(db, 'readings', [leftAt('car', 'FL', -1)]);
    await expect(audit(db)).rejects.toThrow('Load a targets file');
    db.close();
    const { rows, notes } = await foundOnly.asked();
    expect(rows).toEqual([]);
    expect(notes[0]).toBe('No install or adjust visit has an after reading that can be judged.');
});

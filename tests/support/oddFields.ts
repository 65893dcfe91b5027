import { Random } from '../../fixtures/physics/random.js';
import { corner, kit, type Row, type Stand } from './linear.js';

const angles = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'];
const same = (rows: Row[], columns: readonly string[], value: (column: string) => Row[string]) => {
    for (const row of rows) for (const column of columns) row[column] = value(column);
};
const blank = (rows: Row[], ...columns: string[]) => same(rows, columns, () => null);

/** What goes wrong, or is only rare, in the rows of one car; each rewrites them in place. */
export const oddities: Readonly<Record<string, (rows: Row[], random: Random) => void>> = {
    'after copied from before': (rows) => {
        for (const row of rows) {
            const from = rows.find(({ corner: at, visit }) => at === row.corner && visit === row.visit)!;
            for (const angle of angles) row[angle] = from[angle];
        }
    },
    'all angles alike': (rows) => same(rows, angles, (angle) => (angle === 'sai_deg' ? 12 : 0)),
    'one angle only': (rows, random) =>
        blank(rows, ...random.pick(angles.map((one) => angles.filter((of) => of !== one)))),
    'an angle here and there': (rows, random) => {
        for (const row of rows)
            for (const angle of angles.slice(1)) if (random.whole(0, 1) === 0) row[angle] = null;
    },
    'one row': (rows) => rows.splice(1),
    'one corner': (rows) =>
        rows.splice(0, rows.length, ...rows.filter((row) => row.corner === rows[0]!.corner)),
    'rears only': (rows) => {
        for (const row of rows) row.corner = String(row.corner).replace('F', 'R');
    },
    'a rear on a kit': (rows) => {
        rows[0]!.corner = 'RL';
    },
    'unknown kit': (rows) => same(rows, ['kit'], () => 'NOWHERE'),
    'no kit, marks though': (rows) => blank(rows, 'kit'),
    'no plate_index': (rows) => blank(rows, 'plate_index'),
    'no marks': (rows) => blank(rows, 'mark_1'),
    'no hand': (rows) => blank(rows, 'plate_hand'),
    'index over the count': (rows) => same(rows, ['plate_index'], () => 7),
    'at the end of the scale': (rows) => same(rows, ['mark_1'], () => 5),
    'beyond the scale': (rows) => same(rows, ['mark_1'], () => -60),
    'a second scale': (rows, random) => same(rows, ['mark_2'], () => random.pick([0, 2, -60])),
    'a kit with one end, an end without index': (rows) => {
        same(rows, ['kit'], () => 'TOP');
        same(rows, ['mark_1'], () => 4);
        blank(rows, 'plate_index');
    },
    'a kit with the other end': (rows) => {
        same(rows, ['kit'], () => 'BOTTOM');
        same(rows, ['mark_1'], () => -4);
    },
    'beyond the one end of a kit': (rows, random) => {
        same(rows, ['kit'], () => random.pick(['TOP', 'BOTTOM', 'BARE']));
        same(rows, ['mark_1'], () => random.pick([-50, 50]));
    },
    'one offset only': (rows) => same(rows, ['offset_out_mm'], () => 3),
    'offsets at their limits': (rows, random) =>
        same(rows, ['offset_out_mm', 'offset_aft_mm'], () => random.pick([-40, 40, 0])),
    'offsets a hair apart': (rows) => {
        for (const [n, row] of rows.entries())
            Object.assign(row, { offset_out_mm: 1e-5 * n, offset_aft_mm: 0 });
    },
    'angles at their limits': (rows, random) => {
        const limits: Record<string, number[]> = {
            camber_deg: [-12, 12],
            caster_deg: [-6, 20],
            toe_deg: [-6, 6],
            sai_deg: [0, 30],
        };
        for (const row of rows) for (const angle of angles) row[angle] = random.pick(limits[angle]!);
    },
    'no moved, no after': (rows) =>
        rows.splice(0, rows.length, ...rows.filter(({ phase }) => phase === 'before')),
    'an after alone': (rows) => rows.splice(0, rows.length, ...rows.filter(({ phase }) => phase === 'after')),
    'many repeats': (rows) =>
        rows.push(...[2, 3, 900].flatMap((repeat) => rows.map((row) => ({ ...row, repeat })))),
    'session visits': (rows) => {
        same(rows, ['visit_kind'], () => 'session');
        same(rows, ['session'], () => 'run 1');
    },
    'install and check': (rows, random) => {
        for (const row of rows) row.visit_kind = random.pick(['install', 'check']);
    },
    'dates only': (rows) => {
        for (const row of rows) row.measured_at = String(row.measured_at).slice(0, 10);
    },
    'odd times': (rows, random) => {
        const times = [
            '0000-01-01',
            '9999-12-31T23:59',
            '2026-02-30',
            '2026-03-02T10:00+02:00',
            '2026-10-25T02:30Z',
        ];
        for (const row of rows) row.measured_at = random.pick(times);
    },
    'nobody is named': (rows) => blank(rows, 'gauge', 'technician', 'target'),
    'everybody once': (rows, random) => {
        for (const row of rows)
            Object.assign(row, {
                gauge: `gauge ${random.whole(0, 1e6)}`,
                technician: `T${random.whole(0, 1e6)}`,
            });
    },
    'two gauges in a state': (rows) =>
        rows.push(...rows.map((row) => ({ ...row, repeat: 2, gauge: 'rack B', technician: 'B' }))),
    'target without a number': (rows) => same(rows, ['target'], () => 'bare'),
    'unknown target': (rows) => same(rows, ['target'], () => 'strete'),
    'two chassis': (rows) => {
        rows[0]!.chassis = 'other';
    },
    'offsets in inches': (rows) => {
        for (const row of rows)
            Object.assign(row, {
                offset_out_mm: Number(row.mark_1) / 25.4,
                offset_aft_mm: Number(row.mark_1) / 12.7,
            });
    },
    'signs lost': (rows) => {
        for (const row of rows) row.camber_deg = Math.abs(Number(row.camber_deg));
    },
    'whole and half degrees': (rows) => {
        for (const row of rows)
            for (const angle of angles) row[angle] = Math.round(2 * Number(row[angle] ?? 0)) / 2;
    },
    'braces, quotes and breaks in names': (rows) => {
        for (const row of rows) {
            row.visit = `{} ${row.visit} '"%s\\`;
            row.gauge = '{0}';
            row.vehicle = `${row.vehicle} {`;
        }
    },
};

export interface OddCar {
    chassis: string;
    oddities: readonly string[];
    visits: number;
}

/** The input of cars, `odd` ones and `sound` ones beside them, with kits, targets and sessions as odd. */
export function oddField(odd: readonly OddCar[], sound: number, seed: number): Record<string, Row[]> {
    const random = new Random(seed);
    const stands = (): Stand[] => [
        { phase: 'before', mark: random.whole(-4, 4), index: random.whole(1, 3) },
        { phase: 'moved', mark: random.whole(-4, 4), index: random.whole(1, 3) },
        { phase: 'after', mark: random.whole(-4, 4), index: random.whole(1, 3) },
    ];
    const car = (vehicle: string, chassis: string, visits: number): Row[] =>
        Array.from({ length: visits }, (_, n) =>
            ['FL', 'FR'].flatMap((side) =>
                corner({ vehicle, chassis, visit: `v${n}`, corner: side }, stands(), {
                    target: 'street',
                    measured_at: `2026-0${1 + (n % 9)}-02T09:00`,
                }),
            ),
        ).flat();
    const readings = Array.from({ length: sound }, (_, n) => car(`sound ${n}`, 'X', 2)).flat();
    for (const [n, { chassis, oddities: names, visits }] of odd.entries()) {
        const rows = car(`car ${n}`, chassis, visits);
        for (const name of names) oddities[name]!(rows, random);
        readings.push(...rows);
    }
    return {
        readings,
        kits: [
            kit,
            { kit: 'TOP', mark_pitch_mm: 2, mark_max: 4 },
            { kit: 'BOTTOM', mark_pitch_mm: 2, mark_min: -4, mark2_max: 3 },
            { kit: 'BARE', mark_pitch_mm: 2 },
        ],
        targets: [{ target: 'street', camber_deg: -1, toe_deg: 0.05 }, { target: 'bare' }],
        sessions: [
            { session: 'run 1', vehicle: 'car 0', started_at: '2026-01-02T09:30' },
            { session: 'run 1', vehicle: 'car 1' },
        ],
    };
}

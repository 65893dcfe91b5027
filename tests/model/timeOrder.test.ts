import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import type { Database } from '../../src/db/database.js';
import { createFunctions, ensureModel } from '../../src/model/build.js';
import { checks } from '../../src/model/checks.js';
import { packageRoot } from '../../src/packageRoot.js';
import { emptyDatabase, insertRows } from '../support/memory.js';
import { generator } from '../support/mutations.js';

type Row = Record<string, string | number>;
const random = generator(20260301);
const pick = <T>(values: readonly T[]): T => values[random(values.length)]!;

const zones = {
    Z: 0,
    '+00:00': 0,
    '+02': 120,
    '+01:00': 60,
    '-0330': -210,
    ' +05:45': 345,
    '+14': 840,
    '-11:00': -660,
};
const zone = () => pick(Object.keys(zones) as (keyof typeof zones)[]);

/** What `instant` [minutes of 2026, UTC] is called in a place `ahead` of UTC [min]. */
const wall = (instant: number, ahead: number) =>
    new Date(Date.UTC(2026, 0, 1, 0, instant + ahead)).toISOString().slice(0, 16);

/** How a car's times are written down; `day`: minutes from one visit to the next at least. */
const hands: Record<string, { apart: number; write: (instant: number) => string }> = {
    'every zone of the earth': {
        apart: 1,
        write: (instant) => ((name) => `${wall(instant, zones[name])}${name}`)(zone()),
    },
    'one zone, often left out': {
        apart: 1,
        write: (instant) => `${wall(instant, 120)}${pick(['', '', '+02:00', ':00+0200'])}`,
    },
    'no zone': {
        apart: 1,
        write: (instant) => pick([wall(instant, 0), `${wall(instant, 0)}:00`.replace('T', ' ')]),
    },
    'often a date alone': {
        apart: 1440,
        write: (instant) => pick([wall(instant, 0), wall(instant, 0).slice(0, 10)]),
    },
    'clocks that run backwards in a visit': {
        apart: 1440,
        write: (instant) => `${wall(instant, 0).slice(0, 10)}T${pick(['08:10', '11:30', '17:59'])}`,
    },
};

const rows: Row[] = [];
const truth = new Map<string, string[]>();
for (const [hand, { apart, write }] of Object.entries(hands)) {
    for (let car = 0; car < 12; car++) {
        const vehicle = `${hand} ${car}`;
        const order: string[] = [];
        for (let instant = 1440, n = 0; n < 5; n++) {
            const visit = `${random(1000)}-${n}`;
            for (const phase of ['before', 'moved', 'after']) {
                if (random(4) === 0) continue;
                const measured_at = write(instant);
                const camber_deg = -0.01 * order.length;
                rows.push({
                    vehicle,
                    chassis: 'X',
                    corner: 'FL',
                    visit,
                    visit_kind: 'adjust',
                    phase,
                    measured_at,
                    camber_deg,
                });
                order.push(`${visit} ${phase}`);
                instant += 1 + random(200);
            }
            instant = apart === 1440 ? 1440 * (Math.floor(instant / 1440) + 1) + 60 : instant + apart;
        }
        truth.set(vehicle, order);
    }
}

const days = [
    ['before with a clock, after with a date alone', '2026-03-01T09:30', '2026-03-01', false],
    ['before in another zone than after', '2026-03-01T10:00+02:00', '2026-03-01T09:30Z', false],
    ['over the change of the clocks, with zones', '2026-10-25T02:50+02:00', '2026-10-25T02:10+01:00', false],
    ['over the change of the clocks, without', '2026-10-25T02:50', '2026-10-25T02:10', true],
    ['later by the wall, earlier by the zone', '2026-03-01T10:00+02:00', '2026-03-01T10:30+05:00', true],
    ['after on the day before', '2026-03-02T09:30', '2026-03-01', true],
    ['after without the zone of before', '2026-03-01T10:00+02:00', '2026-03-01T10:30', false],
] as const;
for (const [vehicle, before, after] of days) {
    for (const [phase, measured_at] of [
        ['before', before],
        ['after', after],
    ] as const) {
        const camber_deg = phase === 'before' ? 0 : -1;
        rows.push({
            vehicle,
            chassis: 'Y',
            corner: 'FL',
            visit: 'v',
            visit_kind: 'adjust',
            phase,
            measured_at,
            camber_deg,
        });
    }
    truth.set(vehicle, ['v before', 'v after']);
}

let db: Database;
const check = checks().find(({ name }) => name === 'times_out_of_order')!;
beforeAll(async () => {
    db = await emptyDatabase();
    await insertRows(
        db,
        'readings',
        rows.sort(() => random(2) - 0.5),
    );
    await ensureModel(db, ['states', 'present_corners', check.query]);
    await createFunctions(db);
});
afterAll(() => db.close());

const ordered = z.object({ vehicle: z.string(), states: z.array(z.string()) });
const present = z.object({ vehicle: z.string(), visit: z.string(), camber_deg: z.number() });

test('states follow each other as they were read, however times are written', async () => {
    const found = await db.rows(
        ordered,
        `select vehicle, list(visit || ' ' || phase order by place_in_time(ordered_ts, visit, phase_order)) as states
        from states group by vehicle`,
    );
    expect(found).toHaveLength(truth.size);
    for (const { vehicle, states } of found) expect(states, vehicle).toEqual(truth.get(vehicle));
});

test('a corner stands as its last state left it', async () => {
    const found = await db.rows(present, 'select vehicle, visit, camber_deg from present_corners');
    expect(found).toHaveLength(truth.size);
    for (const { vehicle, visit, camber_deg } of found) {
        const order = truth.get(vehicle)!;
        expect(visit, vehicle).toBe(order.at(-1)!.split(' ')[0]);
        const last = rows.find(
            (row) => row.vehicle === vehicle && `${row.visit} ${row.phase}` === order.at(-1),
        );
        expect(camber_deg, vehicle).toBe(last!.camber_deg);
    }
});

describe('check', () => {
    test('finds times that contradict the phases, and no others', async () => {
        const found = await db.rows(
            z.object({ vehicle: z.string() }),
            `select distinct vehicle from (${check.query})`,
        );
        const names = found.map(({ vehicle }) => vehicle);
        const random = names.filter((name) => !days.some(([day]) => day === name));
        expect(random.filter((name) => !name.startsWith('clocks that run backwards'))).toEqual([]);
        expect(random.length).toBeGreaterThan(8);
        expect(names.filter((name) => !random.includes(name)).sort()).toEqual(
            days.flatMap(([name, , , wrong]) => (wrong ? [name] : [])).sort(),
        );
    });
});

/** These put cars in order, not the readings of one. */
const ordersCars = ['230_card_cars.sql', 'settings.sql'];

test('whatever orders the readings of a car does so by ordered_ts', () => {
    const root = packageRoot();
    const order = /(order by|arg_(max|min)\w*\(\w+,|(min|max)_by\(\w+,)\s*\(?(\w+\.)?measured_(ts|at)\b/;
    for (const folder of ['sql', 'reports']) {
        for (const file of readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })) {
            if (!file.endsWith('.sql') || ordersCars.some((name) => file.endsWith(name))) continue;
            const text = readFileSync(join(root, folder, file), 'utf8');
            expect(
                order.exec(text)?.[0],
                `${folder}/${file}: order by place_in_time(ordered_ts, visit, phase_order)`,
            ).toBeUndefined();
        }
    }
});

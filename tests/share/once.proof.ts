import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate } from '../../fixtures/physics/kits.js';
import { Random } from '../../fixtures/physics/random.js';
import { Database } from '../../src/db/database.js';
import { UserError } from '../../src/errors/errors.js';
import { createFunctions } from '../../src/model/build.js';
import { countOnce, equalCars } from '../../src/share/equalCars.js';
import { merged } from '../../src/share/merged.js';
import { mergeShares } from '../../src/share/mergeShares.js';
import { readShare } from '../../src/share/readShare.js';
import type { Rows } from '../support/memory.js';
import { type Input, type SitesBench, sitesBench } from '../support/sites.js';

const { readings } = simulateFleet({
    seed: 51,
    designs: designs.slice(0, 2),
    vehicles: 4,
    visits: 2,
    plates: [onePlate],
});
const kits: Rows = [{ ...onePlate }];
const targets: Rows = [
    { target: 'street', camber_deg: -1, camber_tol_deg: 0.15, caster_deg: 6, caster_tol_deg: 0.5 },
];
const names = [...new Set(readings.map(({ vehicle }) => String(vehicle)))];
const of = (cars: readonly string[]): Input => ({
    readings: readings.filter(({ vehicle }) => cars.includes(String(vehicle))),
    kits,
    targets,
});

let bench: SitesBench;
const files: Record<string, string> = {};
beforeAll(async () => {
    bench = sitesBench();
    files.whole = await bench.share('whole', of(names));
    files.copy = await bench.share('copy', of(names));
    files.first = await bench.share('first', of(names.slice(0, 5)));
    files.last = await bench.share('last', of(names.slice(3)));
});
afterAll(() => bench.close());

/** What is left of the rows of `shares` once cars are counted once, by car; and how many were equal. */
async function left(shares: readonly string[]) {
    const db = await Database.open({ file: ':memory:', mode: 'create', paths: [bench.folder] });
    try {
        await createFunctions(db, []);
        await db.run(`create table shared as from read_parquet('${shares[0]}') limit 0`);
        const sites: string[] = [];
        for (const file of shares) sites.push(await readShare(db, { file, path: file }));
        const cars = await equalCars(db, sites);
        await countOnce(db, cars, sites);
        const [row] = await db.cells(
            'select count(distinct vehicle) as car_count, count(distinct site) as site_count from shared',
        );
        return { equal: cars.length, ...row };
    } finally {
        db.close();
    }
}

async function answer(shares: readonly string[], once: boolean) {
    const db = await mergeShares(shares, { once });
    try {
        const { notes, ...numbers } = await merged(db);
        return { notes, numbers };
    } finally {
        db.close();
    }
}

const paths = (sites: readonly string[]) => sites.map((site) => files[site]!);

describe('one database under two keys', () => {
    test('is refused with the cars and the ways out', async () => {
        const said = await mergeShares(paths(['whole', 'copy'])).then(
            () => null,
            (error: unknown) => error,
        );
        expect(said).toBeInstanceOf(UserError);
        expect(String(said)).toMatch(
            /8 cars have all their moves, .*: [0-9a-f]{32} of .*copy\.parquet = [0-9a-f]{32} of .*whole\.parquet; .* and 3 more/,
        );
        expect(String(said)).toMatch(/name the newer file .* --once counts it once/);
    });

    // The older file, the newer and a third in any order: what is in another one adds nothing.
    let alone: Awaited<ReturnType<typeof answer>>;
    beforeAll(async () => {
        alone = await answer(paths(['whole']), false);
    });
    test.each([[['copy', 'whole']], [['whole', 'last', 'first']]])(
        'counts once with --once, bit for bit as the larger alone: %s',
        async (sites) => {
            const once = await answer(paths(sites), true);
            expect(once.numbers).toEqual(alone.numbers);
            expect(once.notes[0]).toContain('1 site, 8 cars');
            expect(once.notes.filter((note) => !alone.notes.includes(note))).toHaveLength(1);
        },
    );

    test('in part: each car once, the others as they are', async () => {
        expect(await left(paths(['first', 'last']))).toEqual({ equal: 2, car_count: 8, site_count: 2 });
        expect(await left(paths(['first', 'whole']))).toEqual({ equal: 5, car_count: 8, site_count: 1 });
    });
});

/** `count` cars that all were moved alike `visits` times, read to a tenth. */
function alike(seed: number, count: number, visits: number, angles: readonly string[]): Rows {
    const random = new Random(seed);
    const tenth = (value: number) => Math.round((value + random.normal() * 0.1) * 10) / 10;
    return Array.from({ length: count }, (_, car) =>
        Array.from({ length: visits }, (_, visit) =>
            ['before', 'after'].map((phase, i) => ({
                vehicle: `car ${car}`,
                chassis: 'OTTER',
                corner: 'FL',
                measured_at: `2026-01-0${visit + 1}T1${i}:00`,
                visit: `${car} ${visit}`,
                visit_kind: 'adjust',
                phase,
                offset_out_mm: i * 4,
                offset_aft_mm: 0,
                ...Object.fromEntries(
                    angles.map((angle) => [angle, tenth(i * (angle === 'camber_deg' ? 0.36 : 0))]),
                ),
            })),
        ),
    ).flat(2);
}

describe('cars that chance makes equal', () => {
    test.each([
        [3, ['camber_deg'], 150],
        [2, ['camber_deg', 'caster_deg', 'sai_deg'], 40],
    ] as const)('%i moves of %s on a display of 0.1 deg stay', async (visits, angles, count) => {
        const sites = [];
        for (const [site, seed] of [
            ['east', 1],
            ['west', 2],
        ] as const) {
            sites.push(
                await bench.share(
                    site,
                    { readings: alike(seed, count, visits, angles) },
                    { name: `${site}.parquet` },
                ),
            );
        }
        expect(await left(sites)).toEqual({ equal: 0, car_count: 2 * count, site_count: 2 });
    });

    test('the same car among them is found', async () => {
        const angles = ['camber_deg', 'caster_deg', 'sai_deg'];
        const cars = alike(1, 40, 6, angles);
        const east = await bench.share('east', { readings: cars });
        const west = await bench.share('west', {
            readings: [...cars.slice(0, 12), ...alike(2, 40, 6, angles).slice(12)],
        });
        expect(await left([east, west])).toEqual({ equal: 1, car_count: 79, site_count: 2 });
    });
});

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { simulateInstalls } from '../../fixtures/physics/installs.js';
import { onePlate, twoScales } from '../../fixtures/physics/kits.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import type { Database } from '../../src/db/database.js';
import { ensureModel } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { packageRoot } from '../../src/packageRoot.js';
import { merged } from '../../src/share/merged.js';
import { mergeShares } from '../../src/share/mergeShares.js';
import { queriesOf } from '../../src/share/sqlFiles.js';
import { loadBench } from '../support/loading.js';
import { modelOf, type Rows } from '../support/memory.js';
import { dealt, type Input, pooled, type SitesBench, sitesBench } from '../support/sites.js';

const sites = ['north', 'south', 'west'];

/** Everything that fits give, with targets by their angles: sites need not call them the same. */
const answers: Record<string, string> = {
    slopes: 'select * from slopes order by chassis, response, axis',
    slope_populations: 'select * from slope_populations order by response, axis',
    reading_noise: `select response, sd_deg, df, own_sd_deg, source from reading_noise where gauge is null or df > 0 order by all`,
    sensitivities: 'select * from sensitivities order by chassis nulls first, response',
    needed_moments: `select needed_moments.* exclude (target), chassis_targets.* exclude (chassis, target, toe_tol_deg, cross_camber_max_deg, cross_caster_max_deg)
        from needed_moments inner join chassis_targets using (chassis, target) order by all`,
    needed_spreads: `select needed_spreads.* exclude (target), chassis_targets.* exclude (chassis, target, toe_tol_deg, cross_camber_max_deg, cross_caster_max_deg)
        from needed_spreads inner join chassis_targets using (chassis, target) order by all`,
};

async function answersOf(db: Database) {
    const found: Record<string, object[]> = {};
    for (const [name, query] of Object.entries(answers)) found[name] = await db.cells(query);
    return found;
}

interface Field {
    /** Answers from all readings, and from the shares merged. */
    answers: { raw: Record<string, object[]>; joint: Record<string, object[]> };
    bench: SitesBench;
    files: string[];
    raw: Database;
    joint: Database;
}

/** A field dealt out to three sites: their shares merged, and the model of all its readings. */
async function field(readings: Rows, { kits = [], targets = [] }: Input): Promise<Field> {
    const bench = sitesBench();
    const dealtOut = dealt(readings, sites);
    const files: string[] = [];
    for (const [site, rows] of dealtOut)
        files.push(await bench.share(site, { readings: rows, kits, targets }));
    const siteKits = sites.flatMap((site) => kits.map((row) => ({ ...row, kit: `${site} ${row.kit}` })));
    const raw = await modelOf(
        { readings: pooled(dealtOut), kits: siteKits, targets },
        undefined,
        Object.keys(answers),
    );
    await forgetWorths(raw);
    const joint = await mergeShares(files);
    return {
        answers: { raw: await answersOf(raw), joint: await answersOf(joint) },
        bench,
        files,
        raw,
        joint,
    };
}

/** What sites know of their biases and set-ups they do not share: the needed offsets as if nobody knew. */
async function forgetWorths(db: Database): Promise<void> {
    const { query } = queriesOf('merge').find(({ name }) => name === 'reader_worths')!;
    await ensureModel(db, ['angle_priors', 'reader_worths']);
    await db.run(`create temp table worths as select * from reader_worths limit 0`);
    await db.run(`insert into worths by name ${query}`);
    await db.run('drop view reader_worths');
    await db.run('create table reader_worths as from worths');
    const made = ['needed_offsets', 'needed_moments', 'needed_spreads'];
    for (const model of modelFiles()) if (made.includes(model.table)) await buildTable(db, model);
}

function closeField({ bench, raw, joint }: Field): void {
    raw.close();
    joint.close();
    bench.close();
}

/** Every third car of the example season. */
async function season(): Promise<Input> {
    const bench = await loadBench();
    const input: Record<string, Rows> = {};
    for (const kind of ['readings', 'kits', 'targets']) {
        const name = `${kind}.csv`;
        await bench.load(name, readFileSync(join(packageRoot(), 'fixtures/season', name)));
        const third =
            kind === 'readings' ? "where cast(regexp_extract(vehicle, '\\d+$') as integer) % 3 = 0" : '';
        input[kind] = (await bench.db.cells(
            `select * exclude (source_file, source_line, load_id) from ${kind} ${third} order by source_line`,
        )) as Rows;
    }
    bench.close();
    return input;
}

const targets: Rows = [
    {
        target: 'street',
        camber_deg: -0.4,
        camber_tol_deg: 0.15,
        caster_deg: 5.6,
        caster_tol_deg: 0.5,
        toe_deg: 0.05,
    },
    { target: 'track', camber_deg: -2.2, camber_tol_deg: 0.1 },
    { target: 'track', chassis: 'MARTEN', camber_deg: -2.4, camber_tol_deg: 0.1, caster_deg: 7 },
    { target: 'gravel', caster_deg: 5, caster_tol_deg: 0.4, toe_deg: 0 },
];

/**
 * Gross errors, two kits, installs with pointers at their ends, sessions; toe not read here and there, caster never on some cars.
 * `repeats`: readings of a state; `gauge`: name of the gauge of a car.
 */
function simulated({ repeats, gauge }: { repeats: number; gauge: (vehicle: string) => string | null }) {
    const fleet = simulateFleet({
        seed: 5,
        designs: designs.slice(0, 4),
        vehicles: 9,
        visits: 2,
        plates: [onePlate, twoScales],
        grossShare: 0.06,
        otherHandShare: 0.2,
        repeats,
    });
    const installs = simulateInstalls({
        seed: 6,
        designs: designs.slice(1, 4),
        vehicles: 14,
        goal: { camber_deg: -0.4, caster_deg: 5.6, toe_deg: 0.05 },
        indices: [1, 2, 3],
        build_mm: 3,
    });
    const running = simulateSessions({ seed: 7, designs: designs.slice(0, 2), vehicles: 8, sessions: 4 });
    const readings = Object.entries({ fleet, installs, running }).flatMap(([kind, { readings: rows }]) =>
        rows.map((row, i) => {
            const vehicle = `${kind} ${row.vehicle}`;
            return {
                ...row,
                vehicle,
                visit: `${kind} ${row.visit}`,
                gauge: gauge(vehicle),
                ...(i % 5 === 1 && { toe_deg: null }),
                ...(vehicle.endsWith('3') && { caster_deg: null }),
            };
        }),
    );
    return { readings, kits: [...fleet.kits, { ...onePlate, chassis: 'VOLE', mark_pitch_mm: 2.5 }], targets };
}

describe.each([
    [
        'fleets',
        'repeats',
        async () => simulated({ repeats: 2, gauge: (vehicle) => `rack ${vehicle.length % 3}` }),
    ],
    [
        'fleets whose gauges have no names',
        'sessions',
        async () => simulated({ repeats: 1, gauge: () => null }),
    ],
    ['the example season', 'repeats', season],
])('%s over three sites', (_, noiseSource, make) => {
    let one: Field;
    beforeAll(async () => {
        const { readings, ...rest } = await make();
        one = await field(readings!, rest);
    }, 120_000);
    afterAll(() => closeField(one));

    test.each(Object.keys(answers))('%s: merged = fitted to all readings, every row and bit', (name) => {
        const { raw, joint } = one.answers;
        expect(raw[name]!.length).toBeGreaterThan(0);
        expect(joint[name]).toEqual(raw[name]);
    });

    test('the readings themselves tell their noise', async () => {
        const typical = await one.joint.cells(
            'select distinct source from reading_noise where gauge is null',
        );
        expect(typical).toEqual([{ source: noiseSource }]);
    });

    test('order of the files and number of threads change no bit', async () => {
        const other = await mergeShares([...one.files].reverse(), { threads: 4 });
        expect(await merged(other)).toEqual(await merged(one.joint));
        expect(await answersOf(other)).toEqual(one.answers.joint);
        other.close();
    });
});

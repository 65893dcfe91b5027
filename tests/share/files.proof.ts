import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateInstalls } from '../../fixtures/physics/installs.js';
import { Random } from '../../fixtures/physics/random.js';
import { SHARE_VERSION, shareKinds } from '../../src/contracts/share.js';
import { Database } from '../../src/db/database.js';
import { UserError } from '../../src/errors/errors.js';
import { splitCodes } from '../../src/errors/messages.js';
import { merged } from '../../src/share/merged.js';
import { mergeShares } from '../../src/share/mergeShares.js';
import { readShare } from '../../src/share/readShare.js';
import { type Input, type SitesBench, sitesBench } from '../support/sites.js';

const installs = simulateInstalls({
    seed: 21,
    designs: designs.slice(0, 1),
    vehicles: 3,
    goal: { camber_deg: -1, caster_deg: 6, toe_deg: 0.05 },
    repeats: 2,
});
const input: Input = { readings: installs.readings, kits: installs.kits, targets: installs.targets };

let bench: SitesBench;
let good: string;
let editor: Database;
beforeAll(async () => {
    bench = sitesBench();
    good = await bench.share('home', input);
    editor = await Database.open({ file: ':memory:', mode: 'create', paths: [bench.folder] });
});
afterAll(() => {
    editor.close();
    bench.close();
});

/** The shared file with its rows changed by `query` over table good, and another key in its metadata. */
async function edited(query: string, metadata = `{strutmark_share: '${SHARE_VERSION}'}`): Promise<string> {
    const file = join(bench.folder, 'edited.parquet');
    await editor.run(`create or replace temp table good as from read_parquet('${good}')`);
    await editor.run(`copy (${query}) to '${file}' (format parquet, kv_metadata ${metadata})`);
    return file;
}

/** What merge says to the user; fails when it merges, or takes the fault for a bug of ours. */
async function refusal(...files: string[]): Promise<string> {
    try {
        (await mergeShares(files)).close();
    } catch (error) {
        expect(error).toBeInstanceOf(UserError);
        return (error as Error).message;
    }
    throw new Error(`${files.join(', ')} was merged`);
}

/** What the reading of one shared file says, before anything is made of it. */
async function unread(file: string): Promise<string> {
    await editor.run(`create or replace table shared as from read_parquet('${good}') limit 0`);
    try {
        await readShare(editor, { file, path: file });
    } catch (error) {
        expect(error).toBeInstanceOf(UserError);
        return (error as Error).message;
    }
    throw new Error(`${file} was read`);
}

test('files that are none, or not ours', async () => {
    const text = join(bench.folder, 'text.parquet');
    writeFileSync(text, 'vehicle,chassis\na,b\n');
    const empty = join(bench.folder, 'empty.parquet');
    writeFileSync(empty, '');
    mkdirSync(join(bench.folder, 'folder.parquet'));
    expect(await refusal(join(bench.folder, 'none.parquet'))).toMatch(
        /none\.parquet cannot be read: there is no such file\. Name/,
    );
    expect(await refusal(join(bench.folder, 'folder.parquet'))).toMatch(/folder\.parquet cannot be read/);
    for (const file of [text, empty]) {
        expect(await refusal(file)).toMatch(
            /\.parquet is not a file that \S+ strutmark share wrote, or it is damaged: .*Ask the site/,
        );
    }
    const foreign = await edited('select 1 as a', "{other: 'x'}");
    expect(await refusal(foreign)).toContain('it does not say that it is one');
    expect(await refusal(await edited('from good', "{strutmark_share: '1'}"))).toContain(
        'version 1 of the shared file',
    );
});

test('columns that are not those of the contract', async () => {
    expect(await refusal(await edited('select * exclude (weight) from good'))).toContain(
        'its columns differ from read_error_oo_mm2 DOUBLE on',
    );
    expect(await refusal(await edited('select *, 1 as more from good'))).toContain(
        'its columns differ from more INTEGER on',
    );
    expect(
        await refusal(await edited('select * replace (cast(weight as float) as weight) from good')),
    ).toContain('weight FLOAT');
});

test.each([
    ['an angle out of range', "camber_deg = 99 where kind = 'state'", /\(state, camber_deg\): 99\.0 is not/],
    ['not a number', "change_deg = 'nan' where kind = 'move'", /\(move, change_deg\): nan is not/],
    ['infinity', "weight = 'infinity' where kind = 'move'", /\(move, weight\): inf is not/],
    [
        'a move without change',
        "change_deg = null where kind = 'move'",
        /\(move, change_deg\): nothing is not/,
    ],
    [
        'a name in place of a pseudonym',
        "vehicle = 'car 7' where kind = 'move'",
        /\(move, vehicle\): car 7 is not/,
    ],
    ['another kind of row', "kind = 'note' where kind = 'chassis'", /\(note, kind\): note is not/],
    ['no kind of row', "kind = null where kind = 'chassis'", /\(row without a kind, kind\): nothing is not/],
    ['a column of another kind', "gauge = 3 where kind = 'chassis'", /\(chassis, gauge\): 3 is not/],
    ['control characters', "chassis = 'A' || chr(27) where kind = 'chassis'", /\(chassis, chassis\)/],
    [
        'an unknown angle',
        "response = 'thrust_deg' where kind = 'move'",
        /\(move, response\): thrust_deg is not/,
    ],
    [
        'a state without angles',
        "camber_deg = null, caster_deg = null where kind = 'state'",
        /\(state, camber_deg\): nothing is not/,
    ],
    [
        'the same site twice',
        "kind = 'site', chassis = null, site = repeat('0', 32) where kind = 'chassis'",
        /\(site\): 2 rows is not/,
    ],
    [
        'no site',
        "kind = 'chassis', chassis = 'X', site = null where kind = 'site'",
        /\(site\): 0 rows is not/,
    ],
    [
        'the same state twice',
        "corner = 'FL' where kind = 'state'",
        /\(state, vehicle, corner, newest_first\): [0-9a-f]{32}, FL, 1 stands in an earlier row too/,
    ],
    [
        'more states than anybody reads',
        "state_count = 1000000000 where kind = 'caster'",
        /\(caster, state_count\): 1000000000 is not/,
    ],
])('%s', async (_, change, message) => {
    await editor.run(`create or replace temp table changed as from read_parquet('${good}')`);
    await editor.run(`update changed set ${change}`);
    const file = join(bench.folder, 'changed.parquet');
    await editor.run(
        `copy changed to '${file}' (format parquet, kv_metadata {strutmark_share: '${SHARE_VERSION}'})`,
    );
    const said = await unread(file);
    expect(said).toMatch(message);
    expect(said).toContain('Ask the site to write it anew');
});

test.each(['move', 'repeat', 'state', 'caster'])('the same row twice: %s', async (kind) => {
    const said = await unread(
        await edited(`from good union all by name (from good where kind = '${kind}' limit 1)`),
    );
    expect(said).toMatch(new RegExp(`row \\d+ \\(${kind}, .*\\): .* stands in an earlier row too`));
    expect(said).toContain('Ask the site to write it anew');
});

test('numbers at the limits of what a shared file may hold are merged', async () => {
    const kinds = shareKinds.flatMap(({ kind, columns }) =>
        columns
            .filter(({ type, name }) => type === 'integer' && name !== 'number')
            .map((column) => ({ kind, column })),
    );
    await editor.run(`create or replace temp table changed as from read_parquet('${good}')`);
    // One row of each kind, so that no key comes twice.
    for (const { kind, column } of kinds) {
        await editor.run(
            `update changed set ${column.name} = ${column.max}
            where rowid = (select max(rowid) from changed where kind = '${kind}' and ${column.name} is not null)`,
        );
    }
    const file = join(bench.folder, 'limits.parquet');
    await editor.run(
        `copy changed to '${file}' (format parquet, kv_metadata {strutmark_share: '${SHARE_VERSION}'})`,
    );
    (await mergeShares([file])).close();
});

test('one site twice, the same file or a newer one', async () => {
    const newer = await bench.share(
        'home',
        { ...input, readings: installs.readings.slice(0, 12) },
        { name: 'newer.parquet' },
    );
    expect(await refusal(good, good)).toMatch(/come from one site, so its cars would count twice/);
    expect(await refusal(newer, good)).toMatch(
        /newer\.parquet and .*home\.parquet come from one site.*Name the newer/,
    );
});

test('a name that SQL would take for a pattern', async () => {
    // The same cars under another pseudonym would be refused.
    const others = simulateInstalls({
        seed: 22,
        designs: designs.slice(0, 1),
        vehicles: 3,
        goal: { camber_deg: -1, caster_deg: 6, toe_deg: 0.05 },
    });
    const other = await bench.share('other', { readings: others.readings, kits: others.kits });
    const file = join(bench.folder, "o[t]her*'s share?.parquet");
    copyFileSync(other, file);
    const db = await mergeShares([good, file]);
    expect(await db.cells('select count(distinct site) as count from shared')).toEqual([{ count: 2 }]);
    db.close();
});

test('damage anywhere is refused or harmless, never a bug', async () => {
    const bytes = readFileSync(good);
    const random = new Random(31);
    const file = join(bench.folder, 'damaged.parquet');
    await editor.run(`create or replace table shared as from read_parquet('${good}') limit 0`);
    let refused = 0;
    for (let i = 0; i < 90; i++) {
        const damaged = Buffer.from(bytes);
        if (i % 3 === 0) writeFileSync(file, damaged.subarray(0, random.whole(0, bytes.length - 1)));
        else {
            const from = i % 3 === 1 ? bytes.length - 4000 : 0;
            damaged[random.whole(from, bytes.length - 1)]! ^= 1 << random.whole(0, 7);
            writeFileSync(file, damaged);
        }
        await readShare(editor, { file, path: file }).catch((error: unknown) => {
            expect(error, String(error)).toBeInstanceOf(UserError);
            refused++;
        });
    }
    expect(refused).toBeGreaterThan(30);
});

test('a database whose values are beyond what a shared file may hold writes none', async () => {
    const kits = installs.kits.map((kit) => ({ ...kit, mark_pitch_mm: 45, mark_max: 60 }));
    const readings = installs.readings.map((row) =>
        row.mark_1 === null || row.mark_1 === undefined ? row : { ...row, mark_1: 50 },
    );
    await expect(bench.share('far', { readings, kits })).rejects.toThrow(
        /Nothing was written: a (state|move) would hold .* mark_pitch_mm/,
    );
});

test('chassis codes in two spellings are told once, and pooled apart', async () => {
    const respelled = await edited(
        `select * replace (
            case when site is null then null else repeat('0', 32) end as site,
            lower(chassis) as chassis
        ) from good`,
    );
    for (const [files, told] of [
        [[good], []],
        [[good, respelled], [splitCodes(['"OTTER" and "otter"'])]],
    ] as const) {
        const db = await mergeShares(files, { once: true });
        const { notes } = await merged(db);
        db.close();
        expect(notes.filter((note) => note.startsWith('Chassis codes'))).toEqual(told);
    }
});

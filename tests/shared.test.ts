import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { expect, test } from 'vitest';
import { referencePage } from '../src/cli/referencePage.js';
import { openTables } from '../src/contracts/openTables.js';
import { publish } from '../src/contracts/publish.js';
import { tableOf, tables } from '../src/contracts/tables.js';
import { columnTexts } from '../src/model/columnTexts.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { packageRoot } from '../src/packageRoot.js';
import { loadBench } from './support/loading.js';

const shared = join(packageRoot(), 'shared');
const resultFolder = join(packageRoot(), 'src/contracts/results');

function filesBelow(folder: string): string[] {
    return readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
        .sort();
}

/** The modules of results, in the order of their files. */
const resultModules = () =>
    Promise.all(
        readdirSync(resultFolder)
            .sort()
            .map((file) => import(join(resultFolder, file)) as Promise<object>),
    );

test('docs/reference.md is what commands, contracts and sql/ say: run npm run graph and commit, if it is not', async () => {
    const written = readFileSync(join(packageRoot(), 'docs', 'reference.md'), 'utf8');
    expect(written === referencePage(await resultModules())).toBe(true);
});

test('tables for any client of DuckDB are made, and documented column by column', () => {
    for (const name of openTables) {
        const file = modelFiles().find(({ table }) => table === name);
        expect(
            file?.columns.map(({ description }) => description),
            name,
        ).not.toContain('');
        expect(file?.columns.length, name).toBeGreaterThan(2);
    }
});

/** Addresses that the headings of a page have on a code host. */
const anchorsOf = (page: string) =>
    [...page.matchAll(/^#+ (.+)$/gm)].map(([, title]) =>
        title!
            .toLowerCase()
            .replace(/[^\w\- ]/g, '')
            .replaceAll(' ', '-'),
    );

test('links of the guide lead somewhere', () => {
    const root = packageRoot();
    const pages = ['README.md', 'DEVELOPERS.md', 'CHANGELOG.md', 'CONTRIBUTING.md'].concat(
        readdirSync(join(root, 'docs')).flatMap((file) => (file.endsWith('.md') ? [`docs/${file}`] : [])),
    );
    const broken = pages.flatMap((page) =>
        [...readFileSync(join(root, page), 'utf8').matchAll(/\]\(([^)\s]*)\)/g)]
            .map(([, link]) => link!)
            .filter((link) => !/^https?:/.test(link))
            .filter((link) => {
                const [path, anchor] = link.split('#') as [string, string | undefined];
                const file = path === '' ? join(root, page) : join(root, dirname(page), path);
                if (!existsSync(file)) return true;
                return anchor !== undefined && !anchorsOf(readFileSync(file, 'utf8')).includes(anchor);
            })
            .map((link) => `${page}: ${link}`),
    );
    expect(broken).toEqual([]);
});

test('the session in the README says what the tutorial says, which is run', () => {
    const [, session] = /```text\n(.*?)```/s.exec(readFileSync(join(packageRoot(), 'README.md'), 'utf8'))!;
    const tutorial = readFileSync(join(packageRoot(), 'docs', 'tutorial.md'), 'utf8').split('\n');
    const lines = session!.trim().split('\n');
    expect(lines.length).toBeGreaterThan(8);
    expect(lines.filter((line) => !/^(\$|\.\.\.)/.test(line) && !tutorial.includes(line))).toEqual([]);
});

test('shared/ is what the contracts say', async () => {
    const modules = await resultModules();
    const published = publish(modules, columnTexts());
    const instruction = 'shared/ differs from src/contracts. Run `npm run shared` and commit shared/';
    expect(filesBelow(shared), instruction).toEqual([...published.keys()].sort());
    for (const [path, content] of published) {
        expect(readFileSync(join(shared, path), 'utf8'), `${instruction} (${path})`).toBe(content);
    }
});

test('each template is recognised as its kind', async () => {
    const bench = await loadBench();
    try {
        for (const { kind } of tables) {
            const { rows } = await bench.load(
                `${kind}.csv`,
                readFileSync(join(shared, 'templates', `${kind}.csv`)),
            );
            expect(rows).toMatchObject([{ kind, read_count: 0 }]);
        }
    } finally {
        bench.close();
    }
});

/** Contract, section 2: columns, required ones, key and accepted ranges of readings. */
test('readings are as the contract has them', () => {
    const { columns, key, atLeastOneOf } = tableOf('readings');
    const named = (names: string) => names.split(' ');
    const wanted = named(
        'vehicle chassis corner measured_at visit visit_kind phase repeat session kit plate_hand plate_index mark_1 mark_2 offset_out_mm offset_aft_mm camber_deg caster_deg toe_deg sai_deg toe_reset ride_height_mm tyre_kpa gauge technician target note',
    );
    // Additions are no breach.
    expect(columns.map(({ name }) => name).filter((name) => wanted.includes(name))).toEqual(wanted);
    expect(columns.filter(({ required }) => required).map(({ name }) => name)).toEqual(
        named('vehicle chassis corner measured_at visit visit_kind phase'),
    );
    expect(key).toEqual(named('vehicle corner visit phase repeat'));
    expect(atLeastOneOf).toEqual([named('camber_deg caster_deg toe_deg sai_deg')]);
    const ranges = Object.fromEntries(columns.map(({ name, min, max }) => [name, [min, max]]));
    expect(ranges).toMatchObject({
        camber_deg: [-12, 12],
        caster_deg: [-6, 20],
        toe_deg: [-6, 6],
        sai_deg: [0, 30],
        offset_out_mm: [-40, 40],
        offset_aft_mm: [-40, 40],
        mark_1: [-60, 60],
        mark_2: [-60, 60],
    });
    expect(
        columns
            .filter(({ type }) => type === 'choice')
            .map(({ name, words }) => `${name}: ${words.join(' ')}`),
    ).toEqual([
        'corner: FL FR RL RR',
        'visit_kind: install adjust session check',
        'phase: before moved after',
        'plate_hand: left right',
        'toe_reset: yes no',
        'driver_aboard: yes no',
        'rolled: yes no',
        'bolts_tight: yes no',
        'caster_method: sweep direct',
        'remounted: yes no',
    ]);
});

import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type * as Library from '../src/library/index.js';
import { packageRoot } from '../src/packageRoot.js';
import { launchChromium } from './support/chromium.js';
import type { PackedProgram } from './support/packedProgram.js';
import { Shipped, wordsOf } from './support/shipped.js';

/** The packed library beside the packed program, on one database. */
let shipped: Shipped;
let program: PackedProgram;
let library: typeof Library;
let folder: string;
let said: string;

const examples = join(packageRoot(), 'docs', 'examples');
const kinds = ['kits', 'targets', 'sessions', 'shafts', 'hardware', 'readings'];

beforeAll(async () => {
    shipped = new Shipped();
    folder = join(shipped.project, 'inputs');
    copyFileSync(join(examples, 'ask.mjs'), join(folder, 'ask.mjs'));
    said = execFileSync(
        process.execPath,
        ['ask.mjs', 'season.duckdb', ...kinds.map((kind) => `${kind}.csv`)],
        { cwd: folder, encoding: 'utf8' },
    );
    program = shipped.start();
    const own = join(shipped.project, 'node_modules', 'strutmark', 'dist', 'src', 'library', 'index.js');
    library = (await import(pathToFileURL(own).href)) as typeof Library;
});
afterAll(() => shipped.close());

test('the example script says what it found, and how an error is told', () => {
    expect(said).toMatch(/^kits\.csv: \d+ rows loaded, 0 set aside$/m);
    expect(said).toMatch(/^OTTER: 0\.\d{3} deg of camber per mm outboard$/m);
    expect(said).toMatch(/^Street: front left: /m);
    expect(said).toMatch(/^slopes\.json: \d+ rows$/m);
    expect(said).toMatch(/^unknown_name: There is no vehicle "no such car"/m);
});

test('the same answers as the commands', async () => {
    const book = library.openBook(join(folder, 'season.duckdb'));
    const asked: [string, Promise<object>][] = [
        ['slopes', book.slopes()],
        ['drift', book.drift()],
        ['drift --vehicle "car 1" --since 2026-05-01', book.drift({ vehicle: 'car 1', since: '2026-05-01' })],
        ['audit --by technician', book.audit({ by: ['technician'] })],
        ['audit --cars', book.callBacks()],
        ['range --target track', book.range({ target: 'track' })],
        ['gauges', book.gauges()],
        ['gauges --returns --mark 2', book.returns({ mark: 2 })],
        ['check --only visit_without_after', book.check({ only: 'visit_without_after' })],
        [
            'advise --vehicle "car 1" --target street --target track',
            book.advise({ vehicle: 'car 1', target: ['street', 'track'] }),
        ],
        [
            'advise --vehicle "car 1" --change camber=-0.5',
            book.advise({ vehicle: 'car 1', change: 'camber=-0.5' }),
        ],
        [
            'clocking --vehicle "car 1" --kit AMBER-3 --target street',
            book.clocking({ vehicle: 'car 1', kit: 'AMBER-3', target: 'street' }),
        ],
        ['stack --kit AMBER-3 --shaft S14-36', book.stack({ kit: 'AMBER-3', shaft: 'S14-36' })],
        ['plan --chassis OTTER', book.plan({ chassis: 'OTTER' })],
        ['history --vehicle "car 1"', book.history({ vehicle: 'car 1' })],
    ];
    for (const [line, answer] of asked) {
        const of = (await answer) as { rows: unknown[]; notes: string[]; marks?: unknown[] };
        const { stdout, stderr } = await program.run(
            ['--db', 'season.duckdb', ...wordsOf(line), '--json'],
            folder,
        );
        expect(stderr, line).toBe('');
        const { rows, notes, marks } = JSON.parse(stdout);
        expect(JSON.parse(JSON.stringify([of.rows, of.marks])), line).toEqual(
            JSON.parse(JSON.stringify([rows, marks])),
        );
        // The two were started in different ways, which hints name.
        const plain = (texts: string[]) =>
            texts.map((text) => text.replace(/(npx|node) \S*strut\S*( --db \S+)?/g, ''));
        expect(plain(of.notes), line).toEqual(plain(notes));
    }
    const [page] = await book.report('audit', { out: join(folder, 'pages') });
    expect(existsSync(page!.file)).toBe(true);
    await book.close();
});

test('errors have codes', async () => {
    const { openBook, UsageError, UserError } = library;
    const codeOf = (asked: Promise<unknown>) =>
        asked.then(
            () => 'none',
            (error: unknown) =>
                error instanceof UserError || error instanceof UsageError ? error.code : String(error),
        );
    const book = openBook(join(folder, 'season.duckdb'));
    expect(await codeOf(openBook(join(folder, 'nothing.duckdb')).slopes())).toBe('no_database');
    expect(await codeOf(openBook(join(folder, 'kits.csv')).slopes())).toBe('not_a_database');
    expect(await codeOf(book.slopes({ chassis: 'NONE' }))).toBe('unknown_name');
    expect(await codeOf(book.advise({ vehicle: 'car 1', target: 'street', step: 0 }))).toBe('usage');
    expect(await codeOf(book.advise({ vehicle: 'car 1' }))).toBe('usage');
    expect(await codeOf(book.export('slopes', { to: join(folder, 'slopes.json') }))).toBe('cannot_write');
    const stopped = openBook(join(folder, 'season.duckdb'), { signal: AbortSignal.abort() });
    expect(await codeOf(stopped.slopes())).toBe('stopped');
    await book.close();
    expect(await codeOf(book.slopes())).toBe('usage');
    const { refused } = await openBook(join(folder, 'other.duckdb')).load(join(folder, 'missing.csv'));
    expect(refused).toMatchObject([{ reason: expect.stringContaining('missing.csv') }]);
});

test('an import does nothing: no output, no native code, nothing left open', () => {
    const script = `
        process.dlopen = () => { throw new Error('native code at import'); };
        const { openBook } = await import('strutmark');
        openBook('never.duckdb');`;
    const { status, stdout, stderr } = spawnSync(
        process.execPath,
        ['--input-type=module', '--eval', script],
        { cwd: folder, encoding: 'utf8' },
    );
    expect([status, stdout, stderr]).toEqual([0, '', '']);
    expect(existsSync(join(folder, 'never.duckdb'))).toBe(false);
});

test('types: rows are those of the contract, and a wrong question does not compile', () => {
    writeFileSync(
        join(folder, 'use.mts'),
        `import { openBook, UserError, type ErrorCode, type SlopeRow } from 'strutmark';
        const book = openBook('season.duckdb');
        const rows: SlopeRow[] = (await book.slopes({ chassis: 'OTTER' })).rows;
        export const slope: number | null | undefined = rows[0]?.shrunk_deg_per_mm;
        export const axis: 'out' | 'aft' | undefined = rows[0]?.axis;
        export const verdict: 'held' | 'plate_moved' | 'bent' | 'other' | 'unclear' | undefined =
            (await book.drift()).rows[0]?.verdict;
        export const code = (error: UserError): ErrorCode => error.code;
        // @ts-expect-error there is no such angle
        export const wrong: 'yaw' = rows[0]!.response;
        // @ts-expect-error nothing to aim at is named so
        await book.advise({ vehicle: 'car 1', most: 'sideways' });
        `,
    );
    const options =
        '--ignoreConfig --noEmit --strict --skipLibCheck --target ES2022 --module NodeNext --types node';
    const { stdout } = spawnSync(
        join(packageRoot(), 'node_modules', '.bin', 'tsc'),
        [...options.split(' '), '--typeRoots', join(packageRoot(), 'node_modules', '@types'), 'use.mts'],
        { cwd: folder, encoding: 'utf8' },
    );
    expect(stdout).toBe('');
});

test('the example page draws the export, without a network', async () => {
    mkdirSync(join(folder, 'page'), { recursive: true });
    const page = join(folder, 'page', 'draw.html');
    copyFileSync(join(examples, 'draw.html'), page);
    const browser = await launchChromium();
    try {
        const context = await browser.newContext({ offline: true });
        const tab = await context.newPage();
        const faults: string[] = [];
        tab.on('pageerror', (error) => faults.push(error.message));
        tab.on('console', (message) => faults.push(message.text()));
        await tab.goto(pathToFileURL(page).href);
        await tab.setInputFiles('input', join(folder, 'slopes.json'));
        await tab.waitForSelector('svg circle');
        const texts = await tab.locator('svg text').allTextContents();
        expect(texts).toContain('OTTER');
        expect(await tab.locator('svg circle').count()).toBe(
            texts.filter((text) => /^[A-Z]+$/.test(text)).length,
        );
        await tab.setInputFiles('input', join(folder, 'kits.csv'));
        await tab.getByText('cannot be drawn').waitFor();
        expect(faults).toEqual([]);
    } finally {
        await browser.close();
    }
});

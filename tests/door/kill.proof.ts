import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { loadFiles } from '../../src/load/loadFiles.js';
import { generator } from '../support/mutations.js';
import { Program } from '../support/program.js';
import { readingsFile, wholeFiles } from '../support/wholeFiles.js';

/** How often `load` is killed; `KILLS=100 npx vitest run tests/door/kill.proof.ts --config vitest.proof.config.ts` for more. */
const KILLS = Number(process.env.KILLS ?? 4);
const INTERRUPTS = Math.ceil(KILLS / 3);

let folder: string;
let temporary: string;
let program: Program;
const usualTemporary = process.env.TMPDIR;

/** Files that each run takes, what the database held before, and what it holds afterwards. */
let files: string[];
let earlier: string;
let wanted: Map<string, string>;
/** The most bytes that the database and its log take while the files are loaded. */
let most: number;

const database = () => join(folder, 'work.duckdb');

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = Program.make();
    temporary = join(folder, 'tmp');
    mkdirSync(temporary);
    process.env.TMPDIR = temporary;
    files = ['a', 'b', 'c', 'd'].map((name, index) => readingsFile(folder, name, 800 * (index + 1)));
    earlier = join(folder, 'earlier.duckdb');
    await loadFiles([readingsFile(folder, 'first', 1000)], earlier);
    begin(true);
    most = (await program.stop(await start(), database(), () => false, 'SIGKILL')).bytes;
    wanted = await wholeFiles(database());
    expect(wanted.size).toBe(5);
});
afterAll(() => {
    if (usualTemporary === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = usualTemporary;
    program.close();
    rmSync(folder, { recursive: true });
});

function begin(withEarlier: boolean): void {
    for (const name of readdirSync(folder)) {
        if (name.startsWith('work.duckdb')) rmSync(join(folder, name), { recursive: true });
    }
    if (withEarlier) copyFileSync(earlier, database());
}

/** Starts `load` and waits until it has found its files good and begins to take them. */
function start() {
    const isUnderWay = () => readdirSync(temporary).length > 0;
    return program.startUntil(['load', '--later', ...files, '--db', database()], folder, isUnderWay);
}

/** Whatever is there is whole and as it should be; the next load takes the rest and clears up. */
async function checkAndMend(withEarlier: boolean): Promise<number> {
    const there = existsSync(database()) ? await wholeFiles(database()) : new Map<string, string>();
    for (const [path, content] of there) expect(content, path).toBe(wanted.get(path));
    expect(there.has(join(folder, 'first.csv'))).toBe(withEarlier);
    const { rows } = await loadFiles([join(folder, 'first.csv'), ...files], database());
    expect(rows.filter((row) => row.loaded_count > 0).length).toBe(5 - there.size);
    expect(await wholeFiles(database())).toEqual(wanted);
    expect(readdirSync(temporary)).toEqual([]);
    return there.size - (withEarlier ? 1 : 0);
}

test(`killed ${KILLS} times while it loads, each file is wholly in or wholly out`, async () => {
    const random = generator(20240502);
    const inCounts: number[] = [];
    for (let n = 0; n < KILLS; n++) {
        const withEarlier = n % 3 > 0;
        begin(withEarlier);
        // Every fourth one while the database itself is being made or opened.
        const stopAt = n % 4 === 0 ? random(2) : random(most);
        await program.stop(await start(), database(), (bytes) => bytes >= stopAt, 'SIGKILL');
        inCounts.push(await checkAndMend(withEarlier));
    }
    expect(inCounts).toHaveLength(KILLS);
});

test(`Ctrl-C ${INTERRUPTS} times while it loads, likewise, and it clears up itself`, async () => {
    const random = generator(20240503);
    for (let n = 0; n < INTERRUPTS; n++) {
        begin(true);
        const stopAt = random(most);
        const { status, stderr } = await program.stop(
            await start(),
            database(),
            (bytes) => bytes >= stopAt,
            'SIGINT',
        );
        expect(readdirSync(temporary)).toEqual([]);
        if (status !== 3) expect([status, stderr]).toEqual([1, expect.stringContaining('Stopped')]);
        await checkAndMend(true);
    }
});

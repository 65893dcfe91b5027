import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
    appendFileSync,
    chmodSync,
    existsSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    renameSync,
    rmSync,
    truncateSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { SCHEMA_VERSION } from '../../src/db/migrations.js';
import { UserError } from '../../src/errors/errors.js';
import {
    cannotRead,
    fileChanged,
    missingFile,
    newerSchema,
    notADatabase,
    notAFile,
} from '../../src/errors/messages.js';
import { type LoadOptions, loadFiles } from '../../src/load/loadFiles.js';
import { prepareFile } from '../../src/load/prepare.js';

let folder: string;
let temporary: string;
let db: string;
const usualTemporary = process.env.TMPDIR;

beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
    temporary = join(folder, 'tmp');
    mkdirSync(temporary);
    process.env.TMPDIR = temporary;
    db = join(folder, 'test.duckdb');
});
afterEach(() => {
    expect(readdirSync(temporary)).toEqual([]);
    if (usualTemporary === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = usualTemporary;
    rmSync(folder, { recursive: true });
});

const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,note';
const reading = (n: number, camber = -1.5, note = '') =>
    `V${n},C1,FL,2024-05-01T10:00,v1,adjust,before,${camber},${note}`;
const readings = (count: number, note = '') =>
    Array.from({ length: count }, (_, n) => reading(n, -1.5, note));

function file(name: string, lines: readonly string[]): string {
    const path = join(folder, name);
    writeFileSync(path, [header, ...lines, ''].join('\n'));
    return path;
}

async function ask(sql: string) {
    const opened = await Database.open({ file: db, mode: 'read' });
    try {
        return await opened.cells(sql);
    } finally {
        opened.close();
    }
}

const stateOf = () =>
    ask(`select (select count(*) from readings) as readings, (select count(*) from loads) as loads,
        (select count(*) from rejects) as rejects, (select sum(hash(readings)::hugeint)::varchar from readings) as content`);

const counts = async (path: string, options?: LoadOptions) => {
    const { rows } = await loadFiles([path], db, options);
    const { read_count, loaded_count, duplicate_count, rejected_count, replaced_count } = rows[0]!;
    return [read_count, loaded_count, duplicate_count, rejected_count, replaced_count];
};

const digest = () => createHash('sha256').update(readFileSync(db)).digest('hex');

describe('load again', () => {
    test('the same bytes change nothing, not one byte of the database', async () => {
        const path = file('r.csv', [...readings(5), reading(0), reading(1, -2), 'broken']);
        expect(await counts(path)).toEqual([8, 5, 1, 2, 0]);
        const before = digest();
        expect(await counts(path)).toEqual([8, 0, 6, 2, 0]);
        expect(digest()).toBe(before);
    });

    test('the same bytes are read anew once another file has replaced a row', async () => {
        const first = file('first.csv', readings(3));
        await counts(first);
        expect(await counts(file('second.csv', [reading(1, -9)]), { replace: true })).toEqual([
            1, 1, 0, 0, 1,
        ]);
        expect(await counts(first)).toEqual([3, 0, 2, 1, 0]);
        expect(await counts(first, { replace: true })).toEqual([3, 1, 2, 0, 1]);
        expect(
            await ask(
                'select vehicle, camber_deg, superseded_by from readings_history order by superseded_by',
            ),
        ).toEqual([
            { vehicle: 'V1', camber_deg: -1.5, superseded_by: 2 },
            { vehicle: 'V1', camber_deg: -9, superseded_by: 4 },
        ]);
    });

    test('a large file that has grown adds what is new', async () => {
        const lines = readings(70_000, 'rolled, '.repeat(8).trim().replaceAll(',', ';'));
        expect(await counts(file('large.csv', lines))).toEqual([70_000, 70_000, 0, 0, 0]);
        lines[7] = reading(7, -3);
        lines.push(reading(70_000), 'V1,C1', reading(70_000), reading(3, 99));
        expect(await counts(file('large.csv', lines))).toEqual([70_004, 1, 70_000, 3, 0]);
        const waiting = await ask('select line, text from rejects where cleared_by is null order by line');
        expect(waiting).toEqual([
            { line: 9, text: reading(7, -3) },
            { line: 70_003, text: 'V1,C1' },
            { line: 70_005, text: reading(3, 99) },
        ]);
    });

    test('the rejects of a file are cleared when the same file is loaded again', async () => {
        await counts(file('r.csv', [reading(1), reading(2, 99)]));
        expect(await counts(file('r.csv', [reading(1), reading(2, -2)]))).toEqual([2, 1, 1, 0, 0]);
        expect(await ask('select line, cleared_by from rejects')).toEqual([{ line: 3, cleared_by: 2 }]);
    });
});

describe('load in several pieces', () => {
    test('keeps lines, rejects and conflicts across the pieces', async () => {
        const long = 'x'.repeat(250_000);
        const broken = Array.from({ length: 70 }, (_, n) => reading(n, -1, `${long}"`));
        const path = file('r.csv', [reading(1), ...broken, reading(2), reading(1, -2), reading(3, 99)]);
        expect(await counts(path)).toEqual([74, 2, 0, 72, 0]);
        expect(await ask('select line, length(text) as length from rejects where line in (3, 71)')).toEqual([
            { line: 3, length: reading(0, -1, `${long}"`).length },
            { line: 71, length: reading(68, -1, `${long}"`).length },
        ]);
        expect(await ask('select line, text from rejects where length(text) < 100 order by line')).toEqual([
            { line: 74, text: reading(1, -2) },
            { line: 75, text: reading(3, 99) },
        ]);
        expect(await ask('select vehicle, source_line from readings order by 1')).toEqual([
            { vehicle: 'V1', source_line: 2 },
            { vehicle: 'V2', source_line: 73 },
        ]);
    });

    test('a line of a megabyte is set aside with its text', async () => {
        const line = reading(1, -1, 'x'.repeat(1_000_000));
        expect(await counts(file('r.csv', [line, reading(2)]))).toEqual([2, 1, 0, 1, 0]);
        const [row] = await ask('select text, reason from rejects');
        expect(row!.text).toBe(line);
        expect(row!.reason).toContain('longer than 256 kB');
    });

    test('a line of many megabytes is no table', async () => {
        const { refused } = await loadFiles([file('r.csv', ['x'.repeat(18_000_000)])], db);
        expect(refused[0]!.reason).toContain('line 2 is longer than 16 MB');
        expect(await stateOf()).toMatchObject([{ readings: 0, loads: 0, rejects: 0 }]);
    });
});

describe('load leaves the database as it was', () => {
    test('with dryRun, and tells what would happen', async () => {
        await counts(file('r.csv', readings(3)));
        const before = await stateOf();
        const dry = { dryRun: true, replace: true };
        expect(await counts(file('s.csv', [reading(2, -2), reading(3), 'broken']), dry)).toEqual([
            3, 2, 0, 1, 1,
        ]);
        expect(await stateOf()).toEqual(before);
    });

    test('with dryRun where there is none', async () => {
        expect(await counts(file('r.csv', readings(3)), { dryRun: true })).toEqual([3, 3, 0, 0, 0]);
        expect(existsSync(db)).toBe(false);
    });

    test('where no file can be taken', async () => {
        const { rows, refused } = await loadFiles([join(folder, 'missing.csv')], db);
        expect([rows.length, refused.length, existsSync(db)]).toEqual([0, 1, false]);
    });

    test.each([0, 30, 150])('when it is aborted %i ms after the first bytes', async (delay) => {
        await counts(file('r.csv', readings(3)));
        const before = await stateOf();
        const controller = new AbortController();
        const path = file('large.csv', readings(10_000, 'a note '.repeat(10)));
        const onProgress = () => setTimeout(() => controller.abort(), delay);
        const run = loadFiles([path], db, { signal: controller.signal, onProgress, replace: true });
        await run.then(
            () => expect(delay).toBeGreaterThan(0),
            async () => expect(await stateOf()).toEqual(before),
        );
        await loadFiles([path], db);
        expect(await ask('select count(*) as count from readings')).toEqual([{ count: 10_000 }]);
    });

    test.each<[string, (path: string, text: string) => void]>([
        ['grows', (path) => appendFileSync(path, `${reading(99_999)}\n`)],
        ['shrinks', (path) => truncateSync(path, 2_000_000)],
        ['is emptied', (path) => truncateSync(path, 0)],
        ['is written anew', (path, text) => writeFileSync(path, text.replaceAll('-1.5', '-2.5'))],
    ])('when the file %s while it is being read', async (_, change) => {
        const path = file('large.csv', readings(20_000, 'a note '.repeat(10)));
        const text = readFileSync(path, 'utf8');
        let changed = false;
        const onProgress = () => {
            if (!changed) change(path, text);
            changed = true;
        };
        const { rows, refused } = await loadFiles([path], db, { onProgress });
        expect(rows).toEqual([]);
        expect(refused).toEqual([{ file: path, reason: fileChanged(path) }]);
        expect(await stateOf()).toMatchObject([{ readings: 0, loads: 0 }]);
    });
});

test.each<[string, (path: string) => void]>([
    [
        'replaced',
        (path) => {
            writeFileSync(`${path}.new`, 'other');
            renameSync(`${path}.new`, path);
        },
    ],
    ['removed', (path) => rmSync(path)],
])('a file that is %s while it is being read is taken as it was', async (_, change) => {
    const path = file('large.csv', readings(20_000, 'a note '.repeat(10)));
    const onProgress = () => {
        if (readdirSync(folder).includes('large.csv')) change(path);
    };
    const { rows } = await loadFiles([path], db, { onProgress });
    expect(rows).toMatchObject([{ read_count: 20_000, loaded_count: 20_000 }]);
});

describe('load refuses', () => {
    test('what is no file, and takes the files beside it', async () => {
        const fifo = join(folder, 'pipe.csv');
        execFileSync('mkfifo', [fifo]);
        const missing = join(folder, 'missing.csv');
        const { rows, refused } = await loadFiles([fifo, folder, missing, file('r.csv', readings(1))], db);
        expect(rows.map((row) => row.loaded_count)).toEqual([1]);
        expect(refused.map(({ reason }) => reason)).toEqual([
            notAFile(fifo, 'a pipe or device'),
            notAFile(folder, 'a folder'),
            missingFile(missing),
        ]);
    });

    test('a file without the right to read it', async () => {
        const path = file('r.csv', readings(1));
        chmodSync(folder, 0o755);
        chmodSync(path, 0o000);
        const user = process.getuid!();
        // The superuser may read everything: become nobody for a moment.
        if (user === 0) process.seteuid!(65534);
        try {
            await expect(prepareFile(path)).rejects.toThrow(new UserError(cannotRead(path, 'no permission')));
        } finally {
            if (user === 0) process.seteuid!(0);
        }
    });

    test('a database of a newer version, of another program, and no database', async () => {
        const path = file('r.csv', readings(1));
        await counts(path);
        const opened = await Database.open({ file: db, mode: 'write' });
        await opened.run("update meta set value = '99'");
        opened.close();
        await expect(loadFiles([path], db)).rejects.toThrow(
            new UserError(newerSchema(db, 99, SCHEMA_VERSION), 'newer_database'),
        );

        const foreign = join(folder, 'foreign.duckdb');
        const other = await Database.open({ file: foreign, mode: 'create' });
        await other.run('create table orders (id integer)');
        other.close();
        const reason = 'it holds the tables of another program';
        await expect(loadFiles([path], foreign)).rejects.toThrow(
            new UserError(notADatabase(foreign, reason), 'not_a_database'),
        );
        await expect(loadFiles([path], path)).rejects.toThrow(UserError);
    });
});

test('names and cells are data, never SQL or paths', async () => {
    const sly = `it's "a" $file'); drop table readings; --`;
    const path = file(`${sly}.csv`, [
        reading(1, -1, '"\'); drop table readings; --"'),
        reading(1, -2, '$load_id'),
    ]);
    db = join(folder, `${sly}.duckdb`);
    expect(await counts(path)).toEqual([2, 1, 0, 1, 0]);
    expect(await counts(path, { replace: true, kind: 'readings' })).toEqual([2, 0, 1, 1, 0]);
    expect(await ask('select note, source_file from readings')).toEqual([
        { note: "'); drop table readings; --", source_file: path },
    ]);
    expect((await ask('select reason from rejects where cleared_by is null'))[0]!.reason).toContain(
        'of this file',
    );
});

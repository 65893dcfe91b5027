import * as fs from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import {
    cannotMakeDatabase,
    databaseReadOnly,
    databaseUnreadable,
} from '../../src/errors/databaseMessages.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { openModel } from '../../src/model/openModel.js';
import { readingsFile } from '../support/wholeFiles.js';

/** What the operating system would answer; root is let through everywhere, so that no real right would do. */
const refused = vi.hoisted(() => ({ paths: new Map<string, string>() }));
vi.mock('node:fs', async (original) => {
    const real = await original<typeof fs>();
    const accessSync: typeof fs.accessSync = (path, mode = 0) => {
        const code = (mode & real.constants.W_OK) !== 0 ? refused.paths.get(String(path)) : undefined;
        const unread = refused.paths.get(`read ${path}`);
        if (code !== undefined || unread !== undefined)
            throw Object.assign(new Error(`${code ?? unread}: no`), { code: code ?? unread });
    };
    return { ...real, default: { ...real, accessSync }, accessSync };
});

const folder = fs.mkdtempSync(join(tmpdir(), 'door-'));
const database = join(folder, 'strutmark.duckdb');
let more: string;
beforeAll(async () => {
    await loadFiles([readingsFile(folder, 'a', 5)], database);
    more = readingsFile(folder, 'b', 5);
});
afterAll(() => fs.rmSync(folder, { recursive: true }));

const ask = async () => {
    const db = await openModel(database, { needs: ['states'] });
    try {
        return await db.cells('select * from states');
    } finally {
        db.close();
    }
};

test.each([
    ['a folder', () => folder, 'EACCES', 'you have no permission'],
    ['a file', () => database, 'EACCES', 'you have no permission'],
    ['a disk', () => folder, 'EROFS', 'the file system is read-only'],
])(
    '%s that may not be written to: a stale database says so, and nothing is to be moved away',
    async (_, path, code, reason) => {
        const before = fs.readFileSync(database);
        refused.paths = new Map([[path(), code]]);
        const message = databaseReadOnly(database, reason);
        expect(message).not.toMatch(/away/);
        await expect(ask()).rejects.toThrow(message);
        await expect(loadFiles([more], database)).rejects.toThrow(message);
        expect(fs.readFileSync(database).equals(before)).toBe(true);
        refused.paths = new Map();
    },
);

test('a database whose tables are up to date is asked where it lies', async () => {
    const rows = await ask();
    refused.paths = new Map([
        [folder, 'EROFS'],
        [database, 'EROFS'],
    ]);
    expect(await ask()).toEqual(rows);
    refused.paths = new Map();
});

test('one that may not be read, and one that cannot be made', async () => {
    refused.paths = new Map([[`read ${database}`, 'EACCES']]);
    await expect(ask()).rejects.toThrow(databaseUnreadable(database, 'you have no permission'));
    refused.paths = new Map([[folder, 'EACCES']]);
    const fresh = join(folder, 'new.duckdb');
    await expect(loadFiles([more], fresh)).rejects.toThrow(
        cannotMakeDatabase(fresh, 'you have no permission'),
    );
    refused.paths = new Map();
    await expect(loadFiles([more], '/proc/new.duckdb')).rejects.toThrow(
        cannotMakeDatabase('/proc/new.duckdb', 'No such file or directory'),
    );
});

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { outOfMemory } from '../../src/errors/databaseMessages.js';
import { packageRoot } from '../../src/packageRoot.js';
import { Program } from '../support/program.js';

/** What people read where the memory that they allowed does not suffice. */

let program: Program;
let folder: string;
beforeAll(async () => {
    program = Program.make();
    folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
});
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

test('too little memory: what to do, and nothing is lost', () => {
    const season = (name: string) => join(packageRoot(), 'fixtures', 'season', `${name}.csv`);
    const files = ['kits', 'targets', 'readings'].map(season);
    const load = program.run(['load', '--memory', '4MB', ...files], folder);
    expect(load.status).toBe(1);
    expect(load.stderr).toContain(outOfMemory('4MB'));
    expect([0, 3]).toContain(program.run(['load', '--later', ...files], folder).status);
    const asked = program.run(['slopes', '--memory', '16MB'], folder);
    expect([asked.status, asked.stderr]).toEqual([1, `error: ${outOfMemory('16MB')}\n`]);
    expect(program.run(['slopes'], folder)).toMatchObject({ status: 0, stderr: '' });
});

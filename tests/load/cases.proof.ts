import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { loadRow } from '../../src/contracts/results/load.js';
import { Database, identifier } from '../../src/db/database.js';
import { type LoadOptions, loadFiles } from '../../src/load/loadFiles.js';
import { listRejects } from '../../src/load/rejects.js';

const cases = join(import.meta.dirname, '../../fixtures/cases/load');
const folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

interface Says {
    file: string;
    says: string;
}

interface Expected {
    steps: { files: string[]; options?: LoadOptions; rows: object[]; refused: Says[] }[];
    rejects: (Says & { line: number; column: string | null; text: string; hex?: string })[];
    tables: Record<string, Record<string, unknown>[]>;
}

async function compareTable(db: Database, table: string, rows: Record<string, unknown>[]): Promise<void> {
    const names = Object.keys(rows[0] ?? { load_id: 0 });
    const found = await db.cells(
        `select ${names.map(identifier).join(', ')} from ${identifier(table)} order by load_id, source_line`,
    );
    expect(found, table).toEqual(rows);
}

async function compareRejects(db: Database, wanted: Expected['rejects']): Promise<void> {
    const found = await listRejects(db);
    expect(
        found.map(({ file, line, column, text }) => ({ file: basename(file), line, column, text })),
    ).toEqual(wanted.map(({ file, line, column, text }) => ({ file, line, column, text })));
    for (const [i, { says }] of wanted.entries()) expect(found[i]!.reason).toContain(says);
    const bytes = await db.cells(
        'select hex(bytes) as hex from rejects where cleared_by is null order by load_id, line',
    );
    expect(bytes.map(({ hex }) => hex ?? undefined)).toEqual(wanted.map(({ hex }) => hex));
}

const names = readdirSync(cases, { withFileTypes: true }).filter((entry) => entry.isDirectory());

describe.each(names.map((entry) => entry.name))('load %s', (name) => {
    const read = (file: string) => readFileSync(join(cases, name, file), 'utf8');
    const { steps, rejects, tables } = JSON.parse(read('expected.json')) as Expected;

    test('gives the expected rows, rejects and refusals', async () => {
        const file = join(folder, `${name}.duckdb`);
        for (const step of steps) {
            const report = await loadFiles(
                step.files.map((input) => join(cases, name, input)),
                file,
                step.options,
            );
            for (const row of report.rows) loadRow.parse(row);
            expect(report.rows.map((row) => ({ ...row, file: basename(row.file) }))).toEqual(step.rows);
            expect(report.refused.map((refusal) => basename(refusal.file))).toEqual(
                step.refused.map((r) => r.file),
            );
            for (const [i, { says }] of step.refused.entries())
                expect(report.refused[i]!.reason).toContain(says);
        }
        const db = await Database.open({ file, mode: 'read' });
        try {
            await compareRejects(db, rejects);
            for (const [table, rows] of Object.entries(tables)) await compareTable(db, table, rows);
        } finally {
            db.close();
        }
    });
});

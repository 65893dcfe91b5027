import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { check } from '../../src/model/check.js';
import { checkNeeds, checks } from '../../src/model/checks.js';
import { computedChecks } from '../../src/stats/checks/index.js';
import { modelOf } from '../support/memory.js';

const described = z.object({ column_name: z.string(), column_type: z.string() });

test('every file of sql/checks is a check, and each comes behind all that may explain it', () => {
    const all = checks();
    const files = readdirSync(new URL('../../sql/checks/', import.meta.url));
    expect(all.map(({ name }) => `${name}.sql`).sort()).toEqual(files.sort());
    const place = (name: string) => all.findIndex((one) => one.name === name);
    for (const { name, explains } of all) {
        for (const other of explains) expect([name, place(other) > place(name)]).toEqual([name, true]);
    }
});

test('the checks that are computed are those that src/stats/checks has a function for', () => {
    const computed = checks().filter(({ isComputed }) => isComputed);
    expect(computed.map(({ name }) => name).sort()).toEqual([...computedChecks].sort());
});

test('every check has the columns of a finding, and finds nothing in one sound reading', async () => {
    const reading = {
        vehicle: 'A',
        chassis: 'X',
        corner: 'FL',
        measured_at: '2026-01-01',
        visit: 'v',
        visit_kind: 'check',
    };
    const db = await modelOf(
        { readings: [{ ...reading, phase: 'before', camber_deg: -1 }] },
        1,
        checkNeeds({}),
    );
    for (const { name, query, isComputed } of checks()) {
        if (isComputed) continue;
        const columns = await db.rows(described, `select column_name, column_type from (describe ${query})`);
        const found = columns.map((column) => `${column.column_name} ${column.column_type}`);
        const wanted = [
            ...['chassis', 'vehicle', 'corner', 'visit', 'finding'].map((column) => `${column} VARCHAR`),
            'p_mistake DOUBLE',
            'source_file VARCHAR',
            'source_line INTEGER',
        ];
        expect([name, ...found.slice(0, wanted.length)]).toEqual([name, ...wanted]);
    }
    expect(await check(db)).toEqual({
        rows: [],
        groups: [],
        angles: [],
        notes: ['Nothing looks like a mistake.'],
        failures: [],
    });
    db.close();
});

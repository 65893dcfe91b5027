import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { readingsQuery } from '../../bench/data.js';
import { shapedQuery, shapes } from '../../bench/shapes.js';
import type { Database } from '../../src/db/database.js';
import { createFunctions, ensureModel } from '../../src/model/build.js';
import { checks } from '../../src/model/checks.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { packageRoot } from '../../src/packageRoot.js';
import { emptyDatabase } from '../support/memory.js';

const source = (name: string) => readFileSync(join(packageRoot(), 'bench', `${name}.sql`), 'utf8');
// Of another shape: SHAPE='one car' npm run proof -- tests/model/shapes.proof.ts
const shape = shapes.find(({ name }) => name === (process.env.SHAPE ?? 'one corner'))!;

/** The readings of `vehicles` invented cars in that shape, with every model table built. */
async function crowded(vehicles: number): Promise<Database> {
    const db = await emptyDatabase(1);
    const readings = shapedQuery(readingsQuery(source('readings'), { vehicles, chassis: 5 }), shape);
    for (const [table, query] of Object.entries({
        readings,
        kits: source('kits'),
        targets: source('targets'),
    })) {
        await db.run(
            `insert into ${table} by name
            select *, '${table}.csv' as source_file, cast(row_number() over () + 1 as integer) as source_line, 1 as load_id from (${query})`,
        );
    }
    await ensureModel(db);
    await createFunctions(db);
    return db;
}

interface Operator {
    result_set_size?: number;
    children?: Operator[];
}

function bytesOf({ result_set_size = 0, children = [] }: Operator): number {
    return children.reduce((sum, child) => sum + bytesOf(child), result_set_size);
}

/** Bytes that the operators of `query` hand on to each other: rows of joins, and lists in each row. */
async function bytesHandedOn(db: Database, query: string): Promise<number> {
    const plan = z.object({ explain_value: z.string() });
    const [row] = await db.rows(plan, `explain (analyze, format json) ${query}`);
    return bytesOf(JSON.parse(row!.explain_value));
}

let few: Database;
let many: Database;
beforeAll(async () => {
    few = await crowded(80);
    many = await crowded(320);
});
afterAll(() => {
    few.close();
    many.close();
});

const queries = [
    ...modelFiles().map(({ table, query }) => ({ name: table, query })),
    ...checks().map(({ name, query }) => ({ name, query })),
];

test(`four times the readings of ${shape.name}: no table or check hands on much more than four times as much`, async () => {
    const measured: string[] = [];
    const grown: Record<string, number> = {};
    for (const { name, query } of queries) {
        const more = await bytesHandedOn(many, query);
        // What fits into a few chunks is no measure.
        if (more < 2e6) continue;
        // What is iterated may take twice as many passes; a square would still show.
        const most = /\bwith recursive\b/.test(query) ? 12 : 6;
        const times = more / (await bytesHandedOn(few, query));
        measured.push(name);
        if (times > most) grown[name] = times;
    }
    expect(measured.length).toBeGreaterThan(10);
    expect(grown).toEqual({});
});

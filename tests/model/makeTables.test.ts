import { expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { makeTables, type Step } from '../../src/model/makeTables.js';
import type { SqlFile } from '../../src/model/sqlFile.js';

interface Maker {
    /** What it has made in the transaction that is under way. */
    own: Set<string>;
    /** What was committed when that began. */
    seen: Set<string>;
}

/** Makes tables `name: sources`, those with a `*` by computing, over `count` connections; each takes the turns that `turns` gives. */
async function run(
    tables: Readonly<Record<string, string>>,
    { count = 2, turns = (_: string): number => 1, areApart = false, standing = [] as string[] } = {},
) {
    const models = new Map(
        Object.keys(tables).map((name) => [
            name.replace('*', ''),
            { table: name.replace('*', ''), isComputed: name.endsWith('*') } as SqlFile,
        ]),
    );
    const steps: Step[] = Object.entries(tables).map(([name, sources]) => ({
        model: models.get(name.replace('*', ''))!,
        sources: sources.split(' ').flatMap((source) => models.get(source) ?? []),
    }));
    const sourcesOf = new Map(steps.map(({ model, sources }) => [model, sources]));
    const committed = new Set<string>(standing);
    const order: string[] = [];
    const computing = { now: 0, most: 0 };
    const connections = Array.from({ length: count }, () => {
        const maker: Maker = { own: new Set(), seen: new Set() };
        const transaction = async (work: () => Promise<void>) => {
            maker.seen = new Set(committed);
            maker.own = new Set();
            await work();
            for (const name of maker.own) committed.add(name);
        };
        return { maker, transaction } as unknown as Database & { maker: Maker };
    });
    const make = async (db: Database, model: SqlFile) => {
        const { maker } = db as Database & { maker: Maker };
        for (const { table } of sourcesOf.get(model)!)
            expect(maker.seen.has(table) || maker.own.has(table), `${model.table} sees ${table}`).toBe(true);
        if (model.isComputed) expect([...maker.own], `${model.table} begins a transaction`).toEqual([]);
        computing.now += Number(model.isComputed);
        computing.most = Math.max(computing.most, computing.now);
        order.push(model.table);
        for (let turn = 0; turn < turns(model.table); turn++) await null;
        computing.now -= Number(model.isComputed);
        if (standing.includes(model.table)) return false;
        maker.own.add(model.table);
        return true;
    };
    await makeTables(connections, steps, make, async () => undefined, areApart);
    return { order, computing: computing.most };
}

const tables = {
    a: '',
    b: '',
    'long*': 'a',
    'other*': 'b',
    c: 'a b',
    d: 'c',
    'last*': 'd long other',
    end: 'last',
};

test.each([
    [1, 1, false],
    [2, 1, false],
    [2, 7, false],
    [3, 7, false],
    [2, 7, true],
    [1, 1, true],
])(
    'over %d connections, %d turns for what is computed: each table once, when its sources are seen',
    async (count, slow, areApart) => {
        const turns = (name: string) => (['long', 'other'].includes(name) ? slow : 1);
        const { order, computing } = await run(tables, { count, turns, areApart });
        expect([...order].sort()).toEqual(['a', 'b', 'c', 'd', 'end', 'last', 'long', 'other']);
        expect(computing).toBe(1);
    },
);

test('what has the longest way to the end comes first, then the order of the run', async () => {
    const { order } = await run({ short: '', first: '', 'then*': 'first', end: 'then' }, { count: 1 });
    expect(order).toEqual(['first', 'then', 'short', 'end']);
});

test('what stands already holds nobody up', async () => {
    const { order } = await run(tables, { standing: ['a', 'b', 'c', 'd', 'long', 'other'] });
    expect(order).toHaveLength(8);
});

test('what fails stops the others, and is thrown', async () => {
    const failing = new Error('no room');
    const model = { table: 'a', isComputed: false } as SqlFile;
    const transaction = (work: () => Promise<void>) => work();
    const connections = [{ transaction }, { transaction }] as unknown as Database[];
    await expect(
        makeTables(
            connections,
            [{ model, sources: [] }],
            () => Promise.reject(failing),
            async () => undefined,
        ),
    ).rejects.toBe(failing);
});

import { expect, test } from 'vitest';
import { type Batch, type Group, groupsBy } from '../../src/stats/tables/batch.js';

const names = ['chassis', 'mm', 'kit'];

/** Batches of these rows, of so many each; numbers in typed arrays, NaN for NULL, as a query gives them. */
async function* batchesOf(
    rows: readonly (readonly [string | null, number | null, string | null])[],
    size: number,
): AsyncIterable<Batch> {
    for (let from = 0; from < rows.length; from += size) {
        const some = rows.slice(from, from + size);
        const columns = [
            some.map(([chassis]) => chassis),
            Float64Array.from(some, ([, mm]) => mm ?? Number.NaN),
            some.map(([, , kit]) => kit),
        ];
        yield { names, columns };
    }
}

async function groupsOf(rows: Parameters<typeof batchesOf>[0], size: number): Promise<Group[]> {
    const groups: Group[] = [];
    for await (const group of groupsBy(batchesOf(rows, size), 'chassis')) groups.push(group);
    return groups;
}

const rows = [null, 'a', 'a', 'a', 'a', 'a', 'b', 'c', 'c', 'c'].map(
    (chassis, i) => [chassis, i % 4 === 3 ? null : i / 2, i % 2 === 0 ? null : `k${i}`] as const,
);

test.each([1, 2, 3, 4, 7, 10, 2048])(
    'groups are the same whatever the batches: %i rows each',
    async (size) => {
        const groups = await groupsOf(rows, size);
        const told = groups.map((group) => [group.key.chassis, group.values('mm'), group.values('kit')]);
        expect(told).toEqual([
            [null, [0], [null]],
            ['a', [0.5, 1, null, 2, 2.5], ['k1', null, 'k3', null, 'k5']],
            ['b', [3], [null]],
            ['c', [null, 4, 4.5], ['k7', null, 'k9']],
        ]);
        // Before and after the values were asked.
        const again = await groupsOf(rows, size);
        for (const [i, group] of again.entries()) {
            expect(group.numbers('mm')).toEqual(groups[i]!.numbers('mm'));
            expect([...group.rows()].map(({ kit }) => kit)).toEqual(groups[i]!.values('kit'));
        }
        expect(again[1]!.numbers('mm')).toEqual(Float64Array.of(0.5, 1, Number.NaN, 2, 2.5));
        expect(again[3]!.only([2, 0]).values('kit')).toEqual(['k9', 'k7']);
    },
);

test('a column that the query does not give is a bug', async () => {
    const [group] = await groupsOf(rows, 4);
    expect(() => group!.values('aft_mm')).toThrow('aft_mm');
});

import fc from 'fast-check';
import { expect, test } from 'vitest';
import { packColumn, unpackColumn } from '../../src/report/chart/packedColumn.js';

test('the shortest way is taken: as it is, runs, or places in a list', () => {
    expect(packColumn([1, 2, 3])).toEqual([1, 2, 3]);
    expect(packColumn(Array(50).fill(-0.654))).toEqual({ of: [-0.654], runs: [50] });
    const weekdays = Array.from({ length: 20 }, (_, day) => ['weekday', 'weekend'][day % 2]);
    expect(packColumn(weekdays)).toEqual({
        of: ['weekday', 'weekend'],
        at: Array.from({ length: 20 }, (_, day) => day % 2),
    });
    expect(packColumn([])).toEqual([]);
});

test('what is unpacked is what was packed', () => {
    const value = fc.oneof(
        fc.constantFrom(null, true, 'held', 'a longer word', 0),
        fc.integer(),
        fc.string(),
    );
    fc.assert(
        fc.property(fc.array(value), (values) => {
            const sent = JSON.parse(JSON.stringify(packColumn(values))) as ReturnType<typeof packColumn>;
            expect(unpackColumn(sent)).toEqual(values);
        }),
    );
});

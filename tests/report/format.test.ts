import { expect, test } from 'vitest';
import { counted, fixed, listed, whole } from '../../src/report/format.js';

test('numbers carry a true minus sign, and no minus zero', () => {
    expect([fixed(-0.0874, 3), fixed(-0.0002, 3), fixed(-0.4, 0), fixed(12.345, 1), fixed(null, 3)]).toEqual([
        '−0.087',
        '0.000',
        '0',
        '12.3',
        '–',
    ]);
});

test('whole numbers and counts', () => {
    expect([whole(0), whole(999), whole(1000), whole(1234567)]).toEqual(['0', '999', '1,000', '1,234,567']);
    expect([counted(1, 'move'), counted(2, 'move'), counted(2, 'chassis', 'chassis')]).toEqual([
        '1 move',
        '2 moves',
        '2 chassis',
    ]);
});

test('lists in words', () => {
    expect([[], ['a'], ['a', 'b'], ['a', 'b', 'c']].map((words) => listed(words))).toEqual([
        '',
        'a',
        'a and b',
        'a, b and c',
    ]);
    expect(listed(['a', 'b', 'c', 'd'], 2)).toBe('a, b and 2 more');
});

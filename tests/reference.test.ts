import { expect, test } from 'vitest';
import { check, checksOf, dataset, logRelativeError } from '../fixtures/reference/checks.js';

test('a check value comes with its tolerance, standing and source', () => {
    expect(check('t975.10')).toEqual({
        id: 't975.10',
        value: 2.228,
        tolerance: 0.0005,
        standing: 'published',
        source: expect.stringContaining('1.3.6.7.2'),
    });
    expect(checksOf('tol2.oo.')).toHaveLength(9);
});

test('an unknown id, words and an unknown data set throw', () => {
    expect(() => check('t975.1000')).toThrow(RangeError);
    expect(() => check('iso8855.axes')).toThrow(/is no number/);
    expect(() => dataset('no_such_set')).toThrow(/ENOENT/);
});

test('data sets keep their rows and names, quoted cells included', () => {
    expect(dataset('nist_Norris')).toHaveLength(36);
    expect(dataset('pearson_york')[0]).toEqual({ x: '0', y: '5.9', w_x: '1000', w_y: '1' });
});

test('digits that agree, as NIST StRD counts them', () => {
    expect(logRelativeError(2, 2)).toBe(15);
    expect(logRelativeError(1.001, 1)).toBeCloseTo(3, 9);
    expect(logRelativeError(0.01, 0)).toBeCloseTo(2, 9);
});

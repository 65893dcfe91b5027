import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { returns, returnsNeeds } from '../../src/model/returns.js';
import { returnSpread } from '../../src/stats/measurement/returnSpread.js';
import { modelOf, type Rows } from '../support/memory.js';
import { plainKit, standing } from '../support/settings.js';

test('two values: the scatter less the reading; without any beyond it, 0', () => {
    // One group of -1 and +1: squared distances 2, df 1: 2 / (v + t) = 1, so t = 2 - v.
    const pair = (var_deg2: number) => [
        [
            { deg: -1, var_deg2 },
            { deg: 1, var_deg2 },
        ],
    ];
    expect(returnSpread(pair(0.5))!.sd_deg).toBeCloseTo(Math.sqrt(1.5), 9);
    expect(returnSpread(pair(3))!.sd_deg).toBe(0);
    // Chi-square quantiles with 1 degree of freedom: 0.000982 and 5.0239 (NIST/SEMATECH e-Handbook 1.3.6.7.4).
    const { low_deg, high_deg } = returnSpread(pair(0.1))!;
    expect(low_deg * low_deg).toBeCloseTo(2 / 5.0239 - 0.1, 4);
    expect((high_deg * high_deg) / (2 / 0.000982)).toBeCloseTo(1, 2);
    expect(returnSpread([[{ deg: 1, var_deg2: 1 }]])).toBeNull();
});

test.each([0, 0.03, 0.1])('the interval holds a true spread of %s deg in 95 of 100 fields', (sd) => {
    const random = new Random(17 + Math.round(100 * sd));
    let held = 0;
    const fields = 1500;
    for (let field = 0; field < fields; field++) {
        const groups = Array.from({ length: 9 }, (_, i) => {
            const mean = random.normal(0, 1);
            const read = 0.03 + 0.01 * (i % 4);
            return Array.from({ length: 2 + (i % 3) }, () => ({
                deg: mean + random.normal(0, sd) + random.normal(0, read),
                var_deg2: read * read,
            }));
        });
        const { low_deg, high_deg } = returnSpread(groups)!;
        if (low_deg <= sd && sd <= high_deg + 1e-12) held++;
    }
    // Binomial standard error of 1,500 fields: 0.56 %. At 0 the lower end cannot miss.
    expect(held / fields).toBeGreaterThan(0.933);
    expect(held / fields).toBeLessThan(sd === 0 ? 1 : 0.967);
});

test('a return is a setting at marks that were left: by hand, with a change in between and a setting that stayed', async () => {
    const left = (visit: number, mark_1: number, camber_deg: number, fields = {}): Rows[number] =>
        standing('FL', {
            visit: `v${visit}`,
            visit_kind: 'adjust',
            phase: 'after',
            measured_at: `2026-01-${String(visit).padStart(2, '0')}T10:00`,
            mark_1,
            camber_deg,
            gauge: 'rack',
            ...fields,
        });
    const turns = [0, 1, 2, 3, 4].flatMap((turn) => [
        left(4 * turn + 1, 2, -1 + (turn % 2) * 0.4),
        left(4 * turn + 2, 2, 9),
        left(4 * turn + 3, -3, -2),
    ]);
    const kits = [plainKit];
    const db = await modelOf({ kits, readings: turns }, 1, returnsNeeds);
    const { rows, notes } = await returns(db, { mark: 2 });
    const camber = rows.find((row) => row.response === 'camber_deg' && row.plate_index === 1)!;
    // 5 settings at mark 2 that were not there before, the repeated ones left out: 4 returns.
    expect([camber.return_count, camber.setting_count, camber.corner_count]).toEqual([4, 5, 1]);
    // Of -1, -0.6, -1, -0.6, -1: variance 0.048 with 4 degrees of freedom, less that of a reading.
    expect(camber.spread_deg! ** 2).toBeCloseTo(0.048 - camber.reading_deg! ** 2, 6);
    expect(notes[0]).toContain('Mark 2: K comes back to a mark with a standard deviation of 0.2');
    await db.close();
    const changed = await modelOf(
        { kits, readings: turns, changes: [{ vehicle: 'A', changed_at: '2026-01-12', what: 'spring' }] },
        1,
        returnsNeeds,
    );
    const [first] = (await returns(changed, { mark: 2 })).rows;
    expect([first!.return_count, first!.spread_deg, first!.reason]).toEqual([
        3,
        null,
        'fewer than 4 returns',
    ]);
    await changed.close();
});

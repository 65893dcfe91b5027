import { expect, test } from 'vitest';
import { check, checkNeeds } from '../../src/model/check.js';
import { modelOf } from '../support/memory.js';
import { plantedFleets } from '../support/planted.js';

test('the same findings for any number of threads and order of the rows', async () => {
    const { readings, kits } = plantedFleets(81_000, 1);
    const ask = async (rows: typeof readings, threads: number) => {
        const db = await modelOf({ readings: rows, kits }, threads, checkNeeds({}));
        const found = (await check(db)).rows;
        db.close();
        // Lines follow the order of the rows here, and with them which line a finding names.
        return found
            .map(({ line, finding, ...row }) => JSON.stringify([row, finding.replace(/, line \d+$/, '')]))
            .sort();
    };
    const once = await ask(readings, 1);
    expect(once.length).toBeGreaterThan(20);
    expect(await ask(readings.toReversed(), 2)).toEqual(once);
});

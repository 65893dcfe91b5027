import { expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';

test('parameters come back as they were, whatever they hold', async () => {
    const db = await Database.open({ file: ':memory:', mode: 'create', threads: 1 });
    const texts = ['', "it's", "'; drop table t; --", '$b', 'a\0b', '\\', 'Räder ☃', 'line\nline'];
    const numbers = [0, 1, -2_147_483_649, Number.MAX_SAFE_INTEGER, 0.1, -1e-300, 1e300, 2 ** 64];
    for (const value of [...texts, ...numbers, true, false, null])
        expect(await db.cells('select $a as a, $b as b', { a: value, b: 'other' })).toEqual([
            { a: value, b: 'other' },
        ]);
    db.close();
});

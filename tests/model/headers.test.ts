import { expect, test } from 'vitest';
import { modelFiles } from '../../src/model/sqlFile.js';
import { modelOf } from '../support/memory.js';

test('each table has the columns of the header of its file, in name, type and order', async () => {
    const db = await modelOf({}, 1);
    for (const { file, table, columns } of modelFiles()) {
        const made = await db.columns(`select * from ${table} limit 0`);
        expect(made, file).toEqual(columns.map(({ name, type }) => ({ name, type })));
    }
    db.close();
});

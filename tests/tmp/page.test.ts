import { test } from 'vitest';
import { renderReport } from '../../src/report/renderReport.js';
import { reportDatabase } from '../support/reportDatabase.js';
test('page', async () => {
    for (const name of (process.env.PAGES ?? 'card').split(',')) {
        const db = await reportDatabase(name);
        const { file, bytes } = await renderReport(name, db, { out: '/tmp/cardwork/tpages', stamp: { version: '1', reading_count: 5, load_count: 1 }, choice: name === 'card' ? { arm_mm: 110, turn_mm: 1.5 } : {} });
        console.log(file, bytes);
        db.close();
    }
});

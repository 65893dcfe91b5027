import { expect, test } from 'vitest';
import { reportQueries } from '../../src/report/registry.js';
import { modelOf } from '../support/memory.js';
import { reportPage } from '../support/reportPage.js';
import { standing } from '../support/settings.js';

test('a car that was read once: no session that moved it, and two decimals on the axis', async () => {
    const db = await modelOf({ readings: [standing('FL', { camber_deg: -1.2 })] }, 1, reportQueries(['car']));
    try {
        const page = await reportPage('car', db, { version: '1.2.3', reading_count: 1, load_count: 1 });
        expect(page).toContain('No session of it is on record.');
        expect(page).not.toContain('No session moved it');
        expect([page.includes('>−1.20<'), page.includes('−1.2000')]).toEqual([true, false]);
    } finally {
        db.close();
    }
});

import { expect, test } from 'vitest';
import { reportQueries } from '../../src/report/registry.js';
import { modelOf } from '../support/memory.js';
import { reportPage } from '../support/reportPage.js';
import { standing } from '../support/settings.js';

test('a car without a session is not said to have come through one', async () => {
    const db = await modelOf({ readings: [standing('FL', { camber_deg: -1.2 })] }, 1, reportQueries(['car']));
    try {
        const page = await reportPage('car', db, { version: '1.2.3', reading_count: 1, load_count: 1 });
        expect(page).toContain('No session of it is on record.');
        expect(page).not.toContain('No session moved it');
    } finally {
        db.close();
    }
});

import { testInChromium } from '../support/inChromium.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { reportPage } from '../support/reportPage.js';

/** Two pages, one of them in one setting; all are in page.proof.ts. */

const stamp = { version: '1.2.3', reading_count: 1234, load_count: 1 };

testInChromium(
    ['card', 'slopes'],
    async (name) => reportPage(name, await reportDatabase(name), stamp),
    (name) => name === 'card',
);

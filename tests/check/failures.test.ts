import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { check } from '../../src/model/check.js';
import { type Check, checkNeeds, checks } from '../../src/model/checks.js';
import { gatherSuspects } from '../../src/model/suspects.js';
import { reportContent } from '../../src/report/renderReport.js';
import { corner, kit } from '../support/linear.js';
import { modelOf } from '../support/memory.js';

let db: Database;
beforeAll(async () => {
    const name = { vehicle: 'A', chassis: 'X', visit: 'v', corner: 'FL' };
    const readings = corner(name, [{ phase: 'before', mark: 9 }]).map((row) => ({ ...row, kit: 'TYPO' }));
    db = await modelOf({ readings, kits: [kit] }, 1, checkNeeds({}));
});
afterAll(() => db.close());

const broken = (name: string, query: string): Check => ({
    name,
    title: 'Broken',
    likely: 'nothing',
    mend: 'nothing',
    explains: ['unknown_kit', 'unfamiliar_gauge'],
    query,
    isComputed: false,
    givenWhole: [],
});
const columns = `null::varchar as chassis, 'A' as vehicle, null::varchar as corner, 'v' as visit, 1.0::double as p_mistake,
    'readings.csv' as source_file, 2 as source_line`;

const crashing = broken('crashes', `select ${columns}, error('overboard') as finding`);

test('one failing check is named as a bug and hides none of the others', async () => {
    const sound = await check(db);
    expect(sound.failures).toEqual([]);
    expect(sound.rows.map((row) => row.check)).toContain('unknown_kit');
    const beside = [crashing, ...checks()];
    const { rows, notes, failures } = await check(db, {}, beside);
    expect(rows).toEqual(sound.rows);
    expect(failures.map((one) => one.check)).toEqual(['crashes']);
    expect(notes.slice(0, -1)).toEqual(sound.notes);
    expect(notes.at(-1)).toMatch(/^The check crashes failed: this is a bug of Strutmark, .*overboard/);
    await gatherSuspects(db, beside);
    const page = await reportContent('check', db, {});
    expect(page.findings[0]).toEqual({ about: 'crashes', text: notes.at(-1) });
    expect(page.answer.join(' ')).toContain('TYPO');
});

test('a finding that breaks the contract is left out and said; those beside it stay', async () => {
    const one = broken('without_words', `select ${columns}, unnest(['a finding', null]) as finding`);
    const { rows, notes, failures } = await check(db, {}, [one]);
    expect(rows.map((row) => row.finding)).toEqual(['a finding']);
    expect(failures).toHaveLength(1);
    expect(notes.at(-1)).toContain('a finding without a proper finding');
});

test('where the only check asked for fails, nobody is told that all is well', async () => {
    const { notes } = await check(db, {}, [crashing]);
    expect(notes[0]).toBe('Nothing else looks like a mistake.');
    expect(notes).toHaveLength(2);
});

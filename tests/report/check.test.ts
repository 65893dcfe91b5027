import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { createSchema } from '../../src/db/schema.js';
import { programName } from '../../src/errors/programName.js';
import { loadReport } from '../../src/report/registry.js';

test('more findings than the page lists are counted, and the command that gives all is named', async () => {
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    await createSchema(db);
    await db.run(`create temp table suspects as
        select
            case when i <= 130 then 'far_off' else 'end_of_scale' end as "check",
            case when i <= 130 then 'Far off SAI' else 'End of the scale' end as title,
            'l' as likely, 'm' as mend, 'OTTER' as chassis, 'car ' || i as vehicle, 'FL' as corner, 'v' as visit, 'f' as finding,
            case when i <= 130 then 0.9 end as p_mistake, null as explained_by, 'a.csv' as file, i as line
        from range(1, 251) as rows (i)`);
    const { report, queries } = await loadReport('check');
    const findings = await db.cells(readFileSync(queries.get('findings')!, 'utf8'));
    db.close();
    const {
        headline,
        answer,
        findings: told,
        sections,
    } = report.content({ findings, failed: [], levels: [] });
    expect(headline).toMatch(/^130 likely mistakes in 0 readings; the surest: far off SAI$/);
    expect(answer.join(' ')).toContain('250 findings in 2 checks, 120 of them remarks');
    expect(told.map(({ text }) => text.split('.')[0])).toEqual(['130 findings', '120 findings']);
    const captions = sections.flatMap(({ blocks }) =>
        blocks.map((block) => 'caption' in block && block.caption),
    );
    expect(captions).toEqual([
        `Far off SAI: 100 of 130 findings; ${programName()} check --only far_off --all gives all`,
        `End of the scale: 100 of 120 findings; ${programName()} check --only end_of_scale --all gives all`,
    ]);
});

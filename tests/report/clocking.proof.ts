import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { choiceParameters } from '../../src/report/choice.js';
import { loadReport } from '../../src/report/registry.js';
import { reportDatabase } from '../support/reportDatabase.js';

test('the table of ways says how many it shows', async () => {
    const db = await reportDatabase('clocking');
    const { report, queries } = await loadReport('clocking');
    const cells: Record<string, object[]> = {};
    for (const [name, file] of queries) {
        const sql = readFileSync(file, 'utf8');
        cells[name] = await db.cells(sql, choiceParameters(sql, {}));
    }
    const captionOf = (ways: object[]) => {
        const blocks = report.content({ ...cells, ways }).sections.flatMap((section) => section.blocks);
        return blocks.flatMap((block) => (block.kind === 'table' ? [block.caption] : [])).at(-1);
    };
    const ways = cells.ways as { rank: number }[];
    expect(captionOf(ways)).toMatch(/^The 6 best ways for .*; .* clocking --json gives all$/);
    expect(captionOf(ways.filter(({ rank }) => rank <= 2))).toMatch(/^All ways for .*, the best first$/);
});

import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { programName } from '../../src/errors/programName.js';
import { adviseNeeds } from '../../src/model/advise.js';
import { clockingNeeds } from '../../src/model/clocking.js';
import { listReports, reportQueries } from '../../src/report/registry.js';
import { largeField } from '../support/largeField.js';
import { modelOf } from '../support/memory.js';
import { reportPage } from '../support/reportPage.js';

const stamp = { version: '1.2.3', reading_count: 18_280, load_count: 1 };
let db: Database;
beforeAll(async () => {
    db = await modelOf(largeField(), undefined, [
        ...[...adviseNeeds, ...clockingNeeds, 'drift', 'moves', 'move_fits'],
        ...reportQueries(listReports()),
    ]);
});
afterAll(() => db.close());

const pages = new Map<string, string>();
async function pageOf(name: string): Promise<string> {
    if (!pages.has(name)) pages.set(name, await reportPage(name, db, stamp));
    return pages.get(name)!;
}
function findingsOf(page: string): string {
    const start = page.indexOf('class="findings"');
    return page.slice(start, page.indexOf('</section>', start));
}

test('the field has 100 cars and 2,000 sessions with four corners read', async () => {
    const [counts] = await db.cells(
        `select count(distinct vehicle) as cars, count(distinct visit) filter (where visit_kind = 'session') as sessions,
            count(distinct (visit, corner)) filter (where visit_kind = 'session') as corners from readings`,
    );
    expect(counts).toEqual({ cars: 100, sessions: 2000, corners: 8000 });
});

describe.each(listReports())('page %s', (name) => {
    test('stays under 1.5 MB', async () => {
        expect(Buffer.byteLength(await pageOf(name))).toBeLessThan(1_500_000);
    });
});

describe('drift says what it leaves out, and where that is', () => {
    test('pictures, tables and charts', async () => {
        const page = await pageOf('drift');
        const [count] = await db.cells("select count(*) as n from drift where verdict <> 'held'");
        for (const text of [
            'The pictures show the 24 of 100 cars with most that moved',
            `Pictures of the 12 cars with most that moved; ${programName()} report drift --vehicle NAME draws any other.`,
            `The newest 100 of ${count!.n}; ${programName()} drift gives all`,
            /The newest 20 of \d+; \S+( \S+)? export setting_tracks gives all/,
        ])
            expect(page).toMatch(text);
    });

    test('every car stands in a table with its counts', async () => {
        const page = await pageOf('drift');
        const from = page.indexOf('<p class="caption">Corner sessions of each car');
        const table = page.slice(from, page.indexOf('</table>', from));
        const cars = await db.cells(
            `select vehicle, chassis, count(distinct visit) as sessions, count(*) filter (where verdict = 'held') as held,
                count(*) filter (where verdict = 'plate_moved') as moved, count(*) filter (where verdict = 'bent') as bent
            from drift group by all`,
        );
        expect(cars).toHaveLength(100);
        for (const { vehicle, chassis, sessions, held, moved, bent } of cars) {
            expect(table).toContain(
                `<td>${[vehicle, chassis, sessions, held, moved, bent].join('<td>')}<td>`,
            );
        }
    });

    test('every car with something bent is named or counted in the findings', async () => {
        const findings = findingsOf(await pageOf('drift'));
        const bent = await db.cells("select distinct vehicle from drift where verdict = 'bent'");
        const [, list, more = '0'] =
            /Bent elsewhere<\/b><span>(.*?)(?: and (\d+) more)?: a corner of each looked bent/.exec(
                findings,
            )!;
        const named = bent.filter(
            ({ vehicle }) =>
                findings.includes(`<b>${vehicle}</b>`) ||
                list!.split(/, | and /).some((name) => name.replace(/ \(.*$/, '') === vehicle),
        );
        expect(named.length + Number(more)).toBe(bent.length);
    });
});

describe('the others', () => {
    test('card names the cars that it has no sentence for where a target is out of reach', async () => {
        const page = await pageOf('card');
        expect(page).toContain('40 cars of 100, those read last');
        expect(page).toMatch(/28 more cars on their cards\. (Out of reach at a corner|All of them reach)/);
        expect(page.match(/<section class="sheet"/g)).toHaveLength(40);
    });

    test('slopes draws the same share of the moves that are set apart as of the others, and says how many', async () => {
        const page = await pageOf('slopes');
        const [apart] = await db.cells(
            `select count(*) filter (where robust_weight < 0.5) as n, count(*) as total
            from move_fits
            inner join moves using (chassis, vehicle, corner, visit, from_phase, to_phase, response)
            where response = 'camber_deg' and abs(move_out_mm) > 1e-6`,
        );
        const drawn = [
            ...page.matchAll(
                /Change of camber, moving outboard\. Scatter of ([\d,]+) moves?\. [^"]*? (\d+) of the moves stand apart/g,
            ),
        ];
        const sum = (place: number) =>
            drawn.reduce((total, found) => total + Number(found[place]!.replace(',', '')), 0);
        expect(sum(2) / sum(1)).toBeCloseTo(Number(apart!.n) / Number(apart!.total), 2);
        expect(page).toMatch(/\(\d+ of \d+ moves drawn\); \S+( \S+)? export moves gives all/);
    });
});

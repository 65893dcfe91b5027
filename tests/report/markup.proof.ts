import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { carefulSetter, simulateInstalls } from '../../fixtures/physics/installs.js';
import { onePlate } from '../../fixtures/physics/kits.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import { hardware, shafts } from '../../fixtures/season/boxes.js';
import { tableOf } from '../../src/contracts/tables.js';
import type { Database } from '../../src/db/database.js';
import { gatherSuspects } from '../../src/model/suspects.js';
import { listReports } from '../../src/report/registry.js';
import { modelOf, type Rows } from '../support/memory.js';
import { rename } from '../support/otherNames.js';
import { reportPage } from '../support/reportPage.js';

/** Text that would run if a page took it for markup: in an element, in an attribute or in a script. */
const around = (column: string, name: string) =>
    `<script>${column}("${name}")</script>&'"><img src=x onerror='${column}()'>`;

/** The rows with every free text so wrapped; the links between tables hold. */
function wrapped(kind: string, rows: Rows): Rows {
    const texts = tableOf(kind).columns.filter(({ type }) => type === 'text');
    return rows.map((row) => ({
        ...row,
        ...Object.fromEntries(
            texts
                .filter(({ name }) => name === 'note' || (row[name] ?? '') !== '')
                .map(({ name }) => [name, around(name, String(row[name] ?? 'none'))]),
        ),
    }));
}

let db: Database;

beforeAll(async () => {
    const installs = simulateInstalls({
        seed: 9,
        designs: designs.slice(0, 2),
        vehicles: 8,
        goal: { camber_deg: -1.3, caster_deg: 6.4, toe_deg: 0.05 },
        setters: [
            { ...carefulSetter, technician: 'Ada' },
            { ...carefulSetter, technician: 'Cy' },
        ],
        indices: [1, 2],
    });
    const season = simulateSessions({
        seed: 10,
        designs: designs.slice(0, 2),
        vehicles: 2,
        sessions: 4,
        plates: [onePlate],
        slipShare: 0.3,
    });
    const input: Record<string, Rows> = {
        readings: [...installs.readings, ...season.readings],
        kits: installs.kits,
        targets: installs.targets,
        sessions: season.sessions,
        hardware,
        shafts,
    };
    db = await modelOf(
        Object.fromEntries(Object.entries(input).map(([kind, rows]) => [kind, wrapped(kind, rows)])),
    );
    await gatherSuspects(db);
});
afterAll(() => db.close());

const stamp = { version: '1.2.3', reading_count: 1, load_count: 1 };
const scripts = /<script( type="application\/json"[^>]*)?>[\s\S]*?<\/script>/g;

/** The pages as they were first. */
const pages = new Map<string, string>();

/** Columns whose names stood on some page. */
const columns = new Set<string>();

describe.each(listReports())('page %s', (name) => {
    test('shows every name as text', async () => {
        const page = await reportPage(name, db, stamp);
        pages.set(name, page);
        const data = [...page.matchAll(scripts)].filter(([, type]) => type !== undefined);
        for (const [block] of data) JSON.parse(block.replace(/^<[^>]*>|<\/script>$/g, ''));
        expect(page.match(scripts)).toHaveLength(data.length + 1);
        const markup = page.replace(scripts, '');
        expect(markup.match(/<(script|img)/)).toBeNull();
        // In a tag, a quotation mark of a name would end the attribute.
        expect(markup.match(/<[^>]*\w\("[^>]*>/)).toBeNull();
        const shown = [...page.matchAll(/script(?:&gt;|>)(\w+)\((?:&quot;|\\")/g)].map(
            ([, column]) => column!,
        );
        expect(shown.length).toBeGreaterThan(0);
        for (const column of shown) columns.add(column);
    });
});

test('the pages have shown all kinds of names', () => {
    const kinds = ['vehicle', 'gauge', 'technician', 'chassis', 'kit', 'target', 'session', 'shaft', 'part'];
    expect([...columns]).toEqual(expect.arrayContaining(kinds));
});

/** Characters that end a line, steer a terminal or turn text, but the line feeds that the page itself has. */
const unseen = /(?!\n)[\p{Cc}\p{Zl}\p{Zp}\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/u;

/** The page without the script and the style that all pages have. */
const own = (page: string) => page.replace(/<(script|style)>.*?<\/\1>/gs, '');

// Not cells: among equals a page picks by name.
const parts = [/<script/g, /<\/script>/g, /<svg/g, /<section/g, /<table/g, /<!--/g];
const counts = (page: string) => parts.map((part) => [String(part), page.match(part)?.length ?? 0]);

describe('whatever things are called', () => {
    beforeAll(async () => {
        await rename(db, 1);
        await gatherSuspects(db);
    });

    test.each(listReports())('%s holds', async (name) => {
        const page = own(await reportPage(name, db, stamp));
        expect(unseen.exec(page)).toBeNull();
        expect(counts(page)).toEqual(counts(own(pages.get(name)!)));
        for (const [, json] of page.matchAll(/<script type="application\/json"[^>]*>(.*?)<\/script>/g))
            JSON.parse(json!);
    });
});

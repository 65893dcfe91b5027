import { createHmac } from 'node:crypto';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from 'apache-arrow';
import { readParquet } from 'parquet-wasm/node';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateInstalls } from '../../fixtures/physics/installs.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import { shareColumns, shareKinds } from '../../src/contracts/share.js';
import { shareKey } from '../../src/share/key.js';
import type { Rows } from '../support/memory.js';
import { type Input, type SitesBench, sitesBench } from '../support/sites.js';

const installs = simulateInstalls({
    seed: 11,
    designs: designs.slice(0, 2),
    vehicles: 6,
    goal: { camber_deg: -1, caster_deg: 6, toe_deg: 0.05 },
    repeats: 2,
});
const running = simulateSessions({ seed: 12, designs: designs.slice(0, 2), vehicles: 4, sessions: 3 });

/** Every text of the input is a word of its own that no number and no column name holds, chassis and words of the contract apart. */
const readings: Rows = [...installs.readings, ...running.readings].map((row, i) => ({
    ...row,
    vehicle: `carquux-${row.vehicle}`,
    visit: `visitquux-${row.visit}`,
    session: row.visit_kind === 'session' ? `sessionquux-${row.session}` : null,
    kit: row.kit === null || row.kit === undefined ? null : 'kitquux',
    gauge: row.visit_kind === 'session' && i % 2 === 0 ? null : 'gaugequux',
    technician: 'personquux',
    target: row.target === null || row.target === undefined ? null : 'targetquux',
    note: 'notequux',
}));
const input: Input = {
    readings,
    kits: installs.kits.map((row) => ({ ...row, kit: 'kitquux', note: 'notequux' })),
    targets: installs.targets.map((row) => ({ ...row, target: 'targetquux' })),
};

let bench: SitesBench;
let bytes: Buffer;
beforeAll(async () => {
    bench = sitesBench();
    bytes = readFileSync(await bench.share('home', input));
});
afterAll(() => bench.close());

/** The file as another implementation of Parquet and Arrow reads it. */
const decoded = (file: Buffer) => tableFromIPC(readParquet(new Uint8Array(file)).intoIPCStream());

function texts(): Set<string> {
    const table = decoded(bytes);
    return new Set(
        table.schema.fields.flatMap(({ name }) =>
            [...table.getChild(name)!].filter((value) => typeof value === 'string'),
        ),
    );
}

test('no name, note or time of the input is in the bytes or in the values', () => {
    const raw = bytes.toString('latin1');
    const values = [...texts()].join('\n');
    const names = [
        'vehicle',
        'visit',
        'session',
        'kit',
        'gauge',
        'technician',
        'target',
        'note',
        'measured_at',
    ];
    const secrets = new Set(
        readings.flatMap((row) => names.map((name) => row[name]).filter((value) => value)),
    );
    expect(secrets.size).toBeGreaterThan(60);
    for (const secret of [...secrets, 'quux', '2026-', '2025-']) {
        expect(raw).not.toContain(String(secret));
        expect(values).not.toContain(String(secret));
    }
});

test('the only texts are chassis codes, words of the contract and pseudonyms', () => {
    const words = new Set(
        shareKinds.flatMap(({ kind, columns }) => [kind, ...columns.flatMap((column) => column.words)]),
    );
    const chassis = new Set(readings.map((row) => row.chassis));
    const other = [...texts()].filter((text) => !words.has(text) && !chassis.has(text));
    for (const text of other) expect(text).toMatch(/^[0-9a-f]{32}$/);
    // Cars, and the site.
    expect(other).toHaveLength(new Set(readings.map((row) => row.vehicle)).size + 1);
});

test('no column could hold a time, and rows stand in the order of their values', () => {
    const table = decoded(bytes);
    expect(table.schema.fields.map(({ name }) => name)).toEqual([
        'kind',
        ...shareColumns.map(({ name }) => name),
    ]);
    expect([...new Set(table.schema.fields.map(({ type }) => String(type)))].sort()).toEqual([
        'Float64',
        'Int32',
        'Utf8',
    ]);
    const moves = table.toArray().filter((row) => row!.kind === 'move');
    const places = moves.map((row) => `${row!.chassis} ${row!.vehicle} ${row!.corner} ${row!.response}`);
    expect(places).toEqual([...places].sort());
    expect(moves.length).toBeGreaterThan(50);
});

test('pseudonyms are the HMAC-SHA-256 of the name, and the same in every share', async () => {
    const key = Buffer.from(readFileSync(join(bench.folder, 'home.key'), 'latin1').trim(), 'hex');
    const wanted = (name: string) => createHmac('sha256', key).update(name).digest('hex').slice(0, 32);
    const vehicles = (file: Buffer) =>
        new Set([...decoded(file).getChild('vehicle')!].filter((value) => value !== null));
    const all = [...new Set(readings.map((row) => wanted(`vehicle\0${row.vehicle}`)))];
    expect([...vehicles(bytes)].sort()).toEqual(all.sort());
    const fewer = readFileSync(
        await bench.share('home', { ...input, readings: readings.slice(0, 40) }, { name: 'fewer.parquet' }),
    );
    expect(vehicles(fewer).size).toBeLessThan(all.length);
    for (const pseudonym of vehicles(fewer)) expect(all).toContain(pseudonym);
    expect(decoded(fewer).getChild('site')!.toArray()).toContain(wanted('site\0'));
});

/** RFC 4231, test case 2 (from memory): key "Jefe", data "what do ya want for nothing?" give 5bdcc146bf60754e6a042426089575c7... */
test('the library keys as RFC 4231 has it', () => {
    const digest = createHmac('sha256', 'Jefe').update('what do ya want for nothing?').digest('hex');
    expect(digest.slice(0, 32)).toBe('5bdcc146bf60754e6a042426089575c7');
});

test('another key gives other pseudonyms and another site, and nothing else differs', async () => {
    const away = decoded(readFileSync(await bench.share('away', input)));
    const home = decoded(bytes);
    const values = (table: typeof home, name: string) => [...table.getChild(name)!];
    const shared = new Set(values(home, 'vehicle').filter((value) => value !== null));
    expect(values(away, 'vehicle').filter((value) => shared.has(value))).toEqual([]);
    for (const name of ['change_deg', 'camber_deg', 'deviation_deg', 'chassis', 'weight']) {
        expect(values(away, name).sort()).toEqual(values(home, name).sort());
    }
});

test('the same content gives the same bytes, whatever the order of the readings and the threads', async () => {
    const shuffled = {
        ...input,
        readings: [...readings].sort((a, b) => (String(a.visit) < String(b.visit) ? 1 : -1)),
    };
    for (const threads of [1, 4]) {
        const again = readFileSync(
            await bench.share('home', shuffled, { threads, name: `again-${threads}.parquet` }),
        );
        expect(again.equals(bytes)).toBe(true);
    }
});

test('a key is made once, for its owner only, and read again', () => {
    const file = join(bench.folder, 'new.key');
    const first = shareKey(file);
    expect(first).toMatchObject({ isNew: true, warning: null });
    expect(statSync(file).mode & 0o777).toBe(0o600);
    const second = shareKey(file);
    expect(second.isNew).toBe(false);
    expect(second.pseudonym('vehicle', 'a')).toBe(first.pseudonym('vehicle', 'a'));
    expect(second.pseudonym('gauge', 'a')).not.toBe(first.pseudonym('vehicle', 'a'));
    expect(shareKey(join(bench.folder, 'other.key')).pseudonym('vehicle', 'a')).not.toBe(
        first.pseudonym('vehicle', 'a'),
    );
});

test('a key that others can read, or that is none, is told', () => {
    const open = join(bench.folder, 'open.key');
    writeFileSync(open, `${'ab'.repeat(32)}\n`, { mode: 0o644 });
    expect(shareKey(open).warning).toContain('chmod 600');
    const wrong = join(bench.folder, 'wrong.key');
    writeFileSync(wrong, 'my secret');
    expect(() => shareKey(wrong)).toThrow(/wrong\.key cannot be used as the key.*64 hexadecimal digits/);
    expect(() => shareKey(join(bench.folder, 'no', 'such.key'))).toThrow(
        /such\.key cannot be used as the key: there is no such folder\. .*--key/,
    );
});

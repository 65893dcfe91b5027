import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openDatabase } from '../../src/db/openDatabase.js';
import { Workshop } from '../../src/serve/workshop.js';

const folder = mkdtempSync(join(tmpdir(), 'workshop-'));
const db = join(folder, 'a.duckdb');
const inbox = join(folder, 'inbox');
const heard: string[] = [];
const stop = new AbortController();
let workshop: Workshop;
let origin = '';

beforeAll(async () => {
    workshop = new Workshop({
        db,
        folder: inbox,
        port: 0,
        lan: false,
        settleSeconds: 0,
        waitSeconds: 20,
        signal: stop.signal,
        onCode: () => undefined,
        onWatched: ({ file, loaded_count }) => heard.push(`${file} ${loaded_count}`),
        warn: (text) => heard.push(text),
    });
    origin = `http://127.0.0.1:${await workshop.listen()}`;
});
afterAll(async () => {
    stop.abort();
    await workshop.close();
    rmSync(folder, { recursive: true });
});

const cells = (repeat: number, more: Record<string, string> = {}) => ({
    vehicle: 'A',
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-11-27T10:00',
    visit: '2026-11-27 abc',
    visit_kind: 'check',
    phase: 'before',
    repeat: String(repeat),
    camber_deg: '-1.2',
    ...more,
});

async function post(path: string, body: unknown, headers: Record<string, string> = {}) {
    const answer = await fetch(origin + path, {
        method: 'POST',
        headers: { Origin: origin, 'Content-Type': 'application/json', ...headers },
        body: typeof body === 'string' ? body : JSON.stringify(body),
    });
    const text = await answer.text();
    return { status: answer.status, body: text.startsWith('{') ? JSON.parse(text) : text };
}

async function stored(query: string) {
    const opened = await openDatabase({ file: db, mode: 'read' });
    try {
        return await opened.cells(query);
    } finally {
        opened.close();
    }
}

const plain = (rows: object[]) => ({ rows: rows.map((one) => ({ cells: one, mends: false })) });

test('rows count once, whoever sends them how often; a mended one takes the place of its own', async () => {
    const both = plain([cells(1), cells(2, { camber_deg: '-1.25' })]);
    // Two devices with the same visit, at once and again.
    const answers = await Promise.all([post('/rows', both), post('/rows', both)]);
    for (const answer of [...answers, await post('/rows', both)])
        expect(answer).toEqual({ status: 200, body: { taken: [0, 1], refused: [] } });
    const other = await post('/rows', plain([cells(1, { camber_deg: '-1.9' }), cells(3)]));
    expect(other.body.taken).toEqual([1]);
    expect(other.body.refused).toEqual([
        { at: 0, reason: expect.stringContaining('the same key stands in') },
    ]);
    expect(
        (await post('/rows', { rows: [{ cells: cells(2, { camber_deg: '-1.3' }), mends: true }] })).body
            .taken,
    ).toEqual([0]);
    expect(await stored('select repeat, camber_deg from readings order by repeat')).toEqual([
        { repeat: 1, camber_deg: -1.2 },
        { repeat: 2, camber_deg: -1.3 },
        { repeat: 3, camber_deg: -1.2 },
    ]);
});

test('what is no row is refused with what is wrong, and what is too large not read', async () => {
    const wrong = await post(
        '/rows',
        plain([cells(9, { camber_deg: '99' }), cells(9, { corner: 'XX' }), { vehicle: 'A' }]),
    );
    expect(wrong.body.taken).toEqual([]);
    expect(wrong.body.refused.map(({ reason }: { reason: string }) => reason)).toEqual([
        expect.stringContaining('lies outside -12 to 12'),
        expect.stringContaining('corner'),
        expect.stringContaining('blank'),
    ]);
    for (const body of [
        '',
        '{',
        '[]',
        '{"rows":[]}',
        '{"rows":[{"cells":{},"mends":false}]}',
        '{"rows":[{"cells":{"drop":"x"},"mends":false}]}',
        JSON.stringify(plain([cells(1, { note: 'a\nb' })])),
    ])
        expect([400, 422], body).toContain((await post('/rows', body)).status);
    expect((await post('/rows', plain(Array.from({ length: 201 }, (_, i) => cells(i + 1))))).status).toBe(
        422,
    );
    expect((await post('/rows', ' '.repeat(300_000)).catch(() => ({ status: 413 }))).status).toBe(413);
    expect((await post('/rows', plain([cells(1)]), { Origin: 'http://evil.example' })).status).toBe(403);
    expect((await post('/pair', { code: 'AAAA-AAAA' })).status).toBe(403);
    expect((await fetch(`${origin}/../a.duckdb`)).status).toBe(404);
    expect((await fetch(`${origin}/%2e%2e/x.html`)).status).toBe(404);
});

test('files that arrive are taken in, and other processes ask the database meanwhile', async () => {
    writeFileSync(join(inbox, 'kits.csv'), 'kit,mark_pitch_mm\nK,2\n');
    while (!existsSync(join(inbox, 'taken', 'kits.csv')))
        await new Promise((resolve) => setTimeout(resolve, 20));
    expect(await stored('select kit from kits')).toEqual([{ kit: 'K' }]);
    expect(heard).toEqual(['kits.csv 1']);
    expect(readdirSync(join(inbox, 'taken', 'sheets')).length).toBeGreaterThan(0);
});

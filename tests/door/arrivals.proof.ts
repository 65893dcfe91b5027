import {
    closeSync,
    existsSync,
    mkdirSync,
    mkdtempSync,
    openSync,
    readdirSync,
    rmSync,
    writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { openDatabase } from '../../src/db/openDatabase.js';
import { Program } from '../support/program.js';

const FILES = Number(process.env.FILES ?? 16);
const KILLS = Number(process.env.KILLS ?? 2);
const ROWS = 4;
/** Programs that write at once. */
const WRITERS = 4;

const folder = mkdtempSync(join(tmpdir(), 'arrivals-'));
let program: Program;
beforeAll(() => {
    program = Program.make();
});
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

const columns = [
    'vehicle',
    'chassis',
    'corner',
    'measured_at',
    'visit',
    'visit_kind',
    'phase',
    'repeat',
    'camber_deg',
];
const row = (vehicle: string, repeat: number): Record<string, string> => ({
    vehicle,
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-03-01T10:00',
    visit: 'v',
    visit_kind: 'check',
    phase: 'before',
    repeat: String(repeat),
    camber_deg: (-1 - repeat / 100).toFixed(2),
});

async function stored(db: string): Promise<unknown[]> {
    const opened = await openDatabase({ file: db, mode: 'read' });
    try {
        return await opened.cells(
            `select count(*) as n, count(distinct (vehicle, repeat)) as keys, count(*) filter (where round(camber_deg * 100) = -100 - repeat) as right_ones,
                (select count(*) from rejects) as rejected
            from readings`,
        );
    } finally {
        opened.close();
    }
}

/** Writes a file as a slow program does: cut anywhere, now and then with a pause behind a line, the file held open. */
async function writeInPieces(path: string, text: string, random: Random): Promise<void> {
    const handle = openSync(path, 'w');
    for (let from = 0; from < text.length; ) {
        const pauses = random.chance(0.1);
        const cut = pauses ? text.indexOf('\n', from) + 1 : from + random.whole(1, 60);
        writeSync(handle, text.slice(from, cut));
        from = cut;
        await setTimeout(pauses ? 700 : random.whole(0, 8));
    }
    closeSync(handle);
}

test(`${FILES} files in pieces while the watcher is killed ${KILLS} times: every row once, nothing lost`, async () => {
    const random = new Random(20);
    const db = join(folder, 'watch.duckdb');
    const inbox = join(folder, 'inbox');
    mkdirSync(join(inbox, 'rack-1'), { recursive: true });
    const words = ['--db', db, 'watch', inbox, '--settle', '0.3'];
    let written = 0;
    const writer = async (share: number) => {
        while (written < Math.min(FILES, Math.ceil(FILES * share))) {
            const at = written++;
            const lines = Array.from({ length: ROWS }, (_, i) =>
                Object.values(row(`car ${at}`, i + 1)).join(),
            );
            const name = join(random.chance(0.3) ? 'rack-1' : '', `export ${at}.csv`);
            await writeInPieces(join(inbox, name), `${[columns.join(), ...lines].join('\n')}\n`, random);
        }
    };
    for (let kill = 1; kill <= KILLS; kill++) {
        const { child, ended } = program.start(words, folder);
        const writers = Array.from({ length: WRITERS }, () => writer(kill / KILLS));
        await Promise.all([...writers, setTimeout(random.whole(200, 1500))]);
        await setTimeout(random.whole(0, 600));
        child.kill('SIGKILL');
        await ended;
    }
    const last = program.run([...words, '--once'], folder);
    expect([last.status, last.stderr]).toEqual([0, '']);
    expect(await stored(db)).toEqual([
        { n: FILES * ROWS, keys: FILES * ROWS, right_ones: FILES * ROWS, rejected: 0 },
    ]);
    const left = readdirSync(inbox, { recursive: true, encoding: 'utf8' }).filter((name) =>
        name.endsWith('.csv'),
    );
    expect(left.filter((name) => !name.startsWith('taken'))).toEqual([]);
    expect(left).toHaveLength(FILES);
});

test(`a server killed ${KILLS} times between taking and answering: every row once, and others ask meanwhile`, async () => {
    const random = new Random(21);
    const db = join(folder, 'serve.duckdb');
    const waiting = new Map(
        Array.from({ length: 12 * KILLS }, (_, i) => [i, row(`car ${i % 5}`, 1 + Math.floor(i / 5))]),
    );
    const total = waiting.size;
    const send = async (origin: string): Promise<void> => {
        const some = [...waiting].slice(0, 3);
        const answer = await fetch(`${origin}/rows`, {
            method: 'POST',
            headers: { Origin: origin, 'Content-Type': 'application/json' },
            body: JSON.stringify({ rows: some.map(([, cells]) => ({ cells, mends: false })) }),
        });
        const { taken, refused } = (await answer.json()) as { taken: number[]; refused: unknown[] };
        expect(refused).toEqual([]);
        for (const at of taken) waiting.delete(some[at]![0]);
    };
    for (let kill = 0; kill <= KILLS; kill++) {
        const { child, ended } = program.start(['--db', db, 'serve', '--port', '0', '--json'], folder);
        let said = '';
        child.stdout!.on('data', (data) => {
            said += data;
        });
        while (!said.includes('http://')) await setTimeout(5);
        const origin = /http:\/\/[\d.]+:\d+/.exec(said)![0];
        if (kill < KILLS) {
            // Killed somewhere within a request that is under way.
            const sending = send(origin)
                .then(() => send(origin))
                .catch(() => undefined);
            await setTimeout(random.whole(0, 900));
            child.kill('SIGKILL');
            await Promise.all([sending, ended]);
        } else {
            while (waiting.size > 0) await send(origin);
            const asked = program.run(['--db', db, '--wait', '10', 'rejects', '--json'], folder);
            expect([asked.status, JSON.parse(asked.stdout).rows]).toEqual([0, []]);
            child.kill('SIGINT');
            expect((await ended).status).toBe(0);
        }
    }
    expect(await stored(db)).toEqual([{ n: total, keys: total, right_ones: total, rejected: 0 }]);
    expect(existsSync(`${db}.wal`)).toBe(false);
});

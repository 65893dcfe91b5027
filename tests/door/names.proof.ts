import { mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { openDatabase } from '../../src/db/openDatabase.js';
import { UserError } from '../../src/errors/errors.js';
import { notADatabase } from '../../src/errors/messages.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { listRejects } from '../../src/load/rejects.js';
import { insertRows } from '../support/memory.js';
import { Program } from '../support/program.js';

const home = process.cwd();
const usualTemporary = process.env.TMPDIR;
let program: Program;
let folder: string;

beforeAll(async () => {
    program = Program.make();
});
afterAll(() => program.close());
beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    process.chdir(folder);
});
afterEach(() => {
    process.chdir(home);
    if (usualTemporary === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = usualTemporary;
    rmSync(folder, { recursive: true });
});

const kits = 'kit,mark_pitch_mm,note\nK1,2,\nK2,x,\n';

async function ask(file: string, sql: string) {
    const db = await Database.open({ file, mode: 'read' });
    try {
        return await db.cells(sql);
    } finally {
        db.close();
    }
}

describe('a database is the file of that name and nothing else', () => {
    test.each([
        'md:cloud',
        'sqlite:other',
        'postgres:dbname=other',
        's3:bucket',
        ':memory:x',
        'it\'s "mine"; drop table readings; --.duckdb',
        'a*b{c,d}[e].duckdb',
        '$name $HOME `id`.duckdb',
        ' spaces .duckdb',
        '-dash.duckdb',
        'new\nline.duckdb',
        'Größe 数 🚗.duckdb',
    ])('%j', async (name) => {
        writeFileSync('kits.csv', kits);
        const { rows } = await loadFiles(['kits.csv'], name);
        expect(rows).toMatchObject([{ loaded_count: 1, rejected_count: 1 }]);
        expect(readdirSync('.').sort()).toEqual([name, 'kits.csv'].sort());
        expect(await ask(name, 'select kit from kits')).toEqual([{ kit: 'K1' }]);
    });

    test.each(['x.duckdb?access_mode=read_only', 'what?/x.duckdb'])('%j is refused', async (name) => {
        writeFileSync('kits.csv', kits);
        mkdirSync('what?');
        await expect(loadFiles(['kits.csv'], name)).rejects.toThrow(
            new UserError(
                notADatabase(name, 'a ? in its path is taken for the start of options'),
                'not_a_database',
            ),
        );
    });

    test('from the command line', () => {
        writeFileSync('kits.csv', kits);
        const { status, stderr } = program.run(['load', 'kits.csv', '--db=-md:x\u001b[31m\n.duckdb'], folder);
        expect([status, stderr]).toEqual([3, '']);
        expect(statSync('-md:x\u001b[31m\n.duckdb').isFile()).toBe(true);
        const asked = program.run(['rejects', '--db', 'not\u001b[31m\u009b here'], folder);
        expect(asked.status).toBe(1);
        expect(asked.stderr).toContain('not\\x1b[31m\\x9b here');
    });
});

const sly = [
    'it\'s "mine"; drop table kits; --.csv',
    '*.csv',
    '{a,b}.csv',
    '[ab].csv',
    '$load_id $HOME `id`.csv',
    '-dash.csv',
    'new\nline.csv',
    'Größe 数 🚗.csv',
    '~.csv',
];

test('a file is the one of that name and no pattern', async () => {
    writeFileSync('a.csv', 'kit,mark_pitch_mm\nA,2\n');
    for (const [n, name] of sly.entries()) writeFileSync(name, kits.replace('K1', `P${n}`));
    const { rows, refused } = await loadFiles(sly, 'test.duckdb');
    expect(refused).toEqual([]);
    expect(
        rows.map(({ file, loaded_count, rejected_count }) => [file, loaded_count, rejected_count]),
    ).toEqual(sly.map((name) => [name, 1, 1]));
    expect(await ask('test.duckdb', 'select kit, source_file from kits order by load_id')).toEqual(
        sly.map((name, n) => ({ kit: `P${n}`, source_file: name })),
    );
    const db = await Database.open({ file: 'test.duckdb', mode: 'read' });
    expect((await listRejects(db, sly[1])).map(({ file }) => file)).toEqual([sly[1]]);
    db.close();
});

test.each(['it\'s "t"; --', 't[a]*{b,c}?', 'new\nline', 'Größe 🚗'])(
    'the temporary folder may be called %j',
    async (name) => {
        mkdirSync(name);
        process.env.TMPDIR = join(folder, name);
        writeFileSync('kits.csv', kits.replace('K1,2,', 'K1,2," a "'));
        const { rows } = await loadFiles(['kits.csv'], 'test.duckdb');
        expect(rows).toMatchObject([{ loaded_count: 1, rejected_count: 1 }]);
        expect(readdirSync(name)).toEqual([]);
    },
);

/** Control characters but the line feeds that the program itself writes. */
const controls = /(?!\n)\p{Cc}/u;

test('nothing that comes from files or names can steer a terminal', async () => {
    const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,session,note';
    const car = '"V\u009b31m\n1"';
    const row = (phase: string, camber: string) =>
        `${car},"C\u009b\r\n1",FL,2024-05-01,"v\u00851",check,${phase},${camber},,"n\u009b"`;
    const name = 'r\u001b[31m\u0007.csv';
    writeFileSync(
        name,
        [
            header,
            row('before', '-1'),
            row('after', '-2'),
            row('moved', '\u009b99'),
            row('x', 'é\u0007'),
            '',
        ].join('\n'),
    );
    writeFileSync('odd\u009b.csv', 'vehicle\u009b,chassis\u0085\nV,C\n');
    const said = (words: string[]) => {
        const { status, stdout, stderr } = program.run(words, folder);
        expect(status, words.join(' ')).not.toBe(70);
        expect(stdout + stderr, words.join(' ')).not.toMatch(controls);
        return stdout + stderr;
    };
    expect(said(['load', '--later', name, 'odd\u009b.csv', 'gone\u001b.csv'])).toContain(
        'r\\x1b[31m\\x07.csv',
    );
    expect(said(['rejects'])).toContain('\\x9b99');
    // Names that came in before they had a rule.
    const db = await openDatabase({ file: 'strutmark.duckdb', mode: 'write' });
    const older = { vehicle: 'V\u009b31m 1', chassis: 'C\u009b1', visit: 'v\u00851', note: 'n\u009b' };
    await insertRows(
        db,
        'readings',
        ['before', 'after'].map((phase, i) => ({
            ...older,
            phase,
            corner: 'FL',
            measured_at: '2024-05-01',
            visit_kind: 'check',
            camber_deg: -1 - i,
        })),
        99,
    );
    db.close();
    expect(said(['slopes'])).toContain('\\x9b');
    expect(said(['slopes', '--chassis', '\u001b[2J'])).toContain('\\x1b[2J');
    expect(said(['advise', '--vehicle', 'x', '--target', 'y'])).toContain('V\\x9b31m');
    said(['check', '--all']);
    said(['slop\u001b[31m']);
    expect(said(['rejects', '--to', 'mend\u009b.csv'])).toContain('mend\\x9b.csv');
});

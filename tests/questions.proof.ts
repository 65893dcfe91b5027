import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { packageRoot } from '../src/packageRoot.js';
import { inProcess } from './support/inProcess.js';
import { wordsOf } from './support/shipped.js';

const [COLUMNS, LINES] = [80, 24];

interface Asked {
    question: string;
    command: string;
    says: string;
}

/** The table of docs/questions.md. */
const questions: Asked[] = readFileSync(join(packageRoot(), 'docs', 'questions.md'), 'utf8')
    .split('\n')
    .flatMap((line) => {
        const [, question, command, says] = /^\| (.+?) \| `(.+?)` \| (.+) \|$/.exec(line) ?? [];
        return command === undefined ? [] : [{ question: question!, command, says: says! }];
    });

/** Answers for people by command: on a terminal of 80 columns, one process for all. */
const answers = new Map<string, string>();
const folder = mkdtempSync(join(tmpdir(), 'strutmark-questions-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** Asked besides, for their tables and remarks. */
const others = [
    'check --all',
    'gauges --returns',
    'drift --all',
    'audit',
    'audit --by kit',
    'range',
    'slopes',
    'stack',
];

/** Names that a reader is to type: options, checks, tables, columns of a file that are called so, and files. */
const typedNames =
    /--[a-z-]+\s+\S+|\bexport [a-z_]+|\(see\s+[a-z_]+\)|^.*\(\d+\)\s[a-z_]+$|\bcolumns? \w+( (and|or) \w+)*|\S+\.(csv|yaml|duckdb)\b/gm;

/** What a terminal shows first, each line broken where it ends, white space as one blank. */
function firstScreen(text: string): string {
    const lines = text.split('\n').flatMap((line) => line.match(/.{1,80}/gu) ?? ['']);
    return lines.slice(0, LINES).join('\n').replace(/\s+/g, ' ');
}

beforeAll(async () => {
    const at = (name: string) => join(packageRoot(), 'fixtures', 'season', `${name}.csv`);
    const db = ['--db', join(folder, 'season.duckdb')];
    const kinds = ['kits', 'targets', 'sessions', 'shafts', 'hardware', 'readings'].map(at);
    await inProcess(...db, 'load', '--later', ...kinds);
    const shape = { isTTY: process.stdout.isTTY, columns: process.stdout.columns };
    Object.assign(process.stdout, { isTTY: true, columns: COLUMNS });
    process.env.NO_COLOR = '1';
    try {
        for (const command of [...questions.slice(0, -1).map((one) => one.command), ...others]) {
            if (!answers.has(command))
                answers.set(command, (await inProcess(...db, ...wordsOf(command))).out);
        }
        // The season changes no car: new springs come on the day after its last reading.
        writeFileSync(
            join(folder, 'changes.csv'),
            'vehicle,changed_at,what,note\ncar 2,2026-12-31,spring,60 to 80 N/mm\n',
        );
        await inProcess(...db, 'load', '--later', join(folder, 'changes.csv'));
        const { command } = questions.at(-1)!;
        answers.set(command, (await inProcess(...db, ...wordsOf(command))).out);
    } finally {
        Object.assign(process.stdout, shape);
        delete process.env.NO_COLOR;
    }
}, 900_000);

test('there are 40 of them', () => {
    expect(questions).toHaveLength(40);
});

test.each(questions)('$question', ({ command, says }) => {
    expect(firstScreen(answers.get(command)!)).toContain(says.replace(/\s+/g, ' '));
});

test('no name of the inside of the program in what people read', () => {
    const found = [...answers].flatMap(([command, text]) => {
        const names = text.replace(typedNames, '').match(/\b[a-z]+[a-z0-9]*_[a-z0-9_]+\b/g) ?? [];
        return [...new Set(names)].map((name) => `${command}: ${name}`);
    });
    expect(found).toEqual([]);
});

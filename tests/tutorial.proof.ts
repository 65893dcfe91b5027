import { mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { packageRoot } from '../src/packageRoot.js';
import type { PackedProgram } from './support/packedProgram.js';
import { Shipped, wordsOf } from './support/shipped.js';

/** docs/tutorial.md as its reader goes through it: files are written, commands run by the packed program in one process. */
const page = readFileSync(join(packageRoot(), 'docs', 'tutorial.md'), 'utf8');

type Step =
    | { kind: 'file'; name: string; text: string }
    | { kind: 'command'; line: string; says: readonly string[] };

const steps: Step[] = [
    ...page.matchAll(
        /`([\w-]+\.csv)`\n\n```csv\n(.*?)```|```sh\nnpx strutmark (.*?)\n```\n\n```text\n(.*?)\n```/gs,
    ),
].map(([, name, text, line, says]) =>
    name === undefined
        ? { kind: 'command', line: line!, says: says!.split('\n') }
        : { kind: 'file', name, text: text! },
);

/** Runs of lines that stand in the output one after the other: what `...` parts. */
function runsOf(lines: readonly string[]): string[] {
    return lines
        .join('\n')
        .split(/(?:^|\n)\.\.\.(?:\n|$)/)
        .filter((run) => run !== '');
}

let shipped: Shipped;
let program: PackedProgram;
let folder: string;

beforeAll(() => {
    shipped = new Shipped();
    process.env.NO_COLOR = '1';
    program = shipped.start();
    delete process.env.NO_COLOR;
    folder = join(shipped.project, 'tutorial');
    mkdirSync(folder);
});
afterAll(() => shipped.close());

test('every block of the page is a file, or a command with what it says', () => {
    expect(steps.filter(({ kind }) => kind === 'command').length).toBeGreaterThan(7);
    expect(page.match(/^```(csv|sh)$/gm)).toHaveLength(steps.length);
});

test('each command says what the page says', async () => {
    for (const step of steps) {
        if (step.kind === 'file') {
            writeFileSync(join(folder, step.name), step.text);
            continue;
        }
        const { status, stdout } = await program.run(wordsOf(step.line), folder, 80);
        expect(status, step.line).toBe(0);
        const said = stdout.replace(/ +$/gm, '');
        let from = 0;
        for (const run of runsOf(step.says)) {
            const at = said.indexOf(run, from);
            expect(at, `strutmark ${step.line}\n${said}\n\ndoes not say here:\n${run}`).toBeGreaterThan(-1);
            from = at + run.length;
        }
    }
    expect(statSync(join(folder, 'pages', 'card.html')).size).toBeGreaterThan(10_000);
});

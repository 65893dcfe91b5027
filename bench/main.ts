import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Data } from './data.js';
import { interleave } from './interleave.js';
import { machine } from './machine.js';
import { type Options, readOptions, usage } from './options.js';
import { outOfTime, run } from './run.js';
import type { Bench, Line, Stage } from './stage.js';
import answers from './stages/answers.js';
import growth from './stages/growth.js';
import increment from './stages/increment.js';
import load from './stages/load.js';
import models from './stages/models.js';
import pages from './stages/pages.js';
import slopes from './stages/slopes.js';
import smallFiles from './stages/smallFiles.js';
import { stageText } from './text.js';

const stages: readonly Stage[] = [load, smallFiles, models, slopes, growth, answers, increment, pages];

/** What the stages may use; each call gives one whose processes share `limit_ms` from now on, and none takes over half of it. */
function benchOf(root: string, programs: string, folder: string, data: Data, options: Options): Bench {
    const until = performance.now() + options.limit_ms;
    const sources = join(root, 'bench');
    const preload = join(sources, 'usage.cjs');
    const runHere: Bench['run'] = (command) => {
        const left = until - performance.now();
        return left <= 0
            ? Promise.resolve({ problem: outOfTime })
            : run(command, folder, preload, Math.min(left, options.limit_ms / 2));
    };
    const rounds = 3;
    return {
        full: options.full,
        size: options.full ? 5_000_000 : 200_000,
        memory: options.memory,
        folder,
        sources,
        data,
        strutmark: (...args) => ({
            program: process.execPath,
            args: [join(root, 'dist', 'src', 'cli', 'main.js'), ...args],
        }),
        program: (name, ...args) => ({
            program: process.execPath,
            args: [join(programs, `${name}.js`), ...args],
        }),
        run: runHere,
        interleave: (arms, count = rounds) => interleave(arms, count, runHere),
    };
}

/** Runs the stages that `args` ask for; `root` is the checkout, `programs` the folder of the bundled programs. */
export async function main(root: string, programs: string, args: readonly string[]): Promise<void> {
    let options: Options;
    try {
        options = readOptions(
            args,
            stages.map(({ name }) => name),
        );
    } catch (error) {
        process.stderr.write(`${(error as Error).message}\n\n${usage}`);
        process.exitCode = 2;
        return;
    }
    if (options.help) {
        process.stdout.write(usage);
        return;
    }
    const folder = realpathSync(mkdtempSync(join(options.dir ?? tmpdir(), 'strutmark-bench-')));
    process.env.BENCH_ROOT = root;
    try {
        const data = await Data.open(join(root, 'bench'), folder);
        const about = {
            ...machine(await data.value('select version()')),
            command: ['npm run bench', ...(args.length > 0 ? ['--', ...args] : [])].join(' '),
            limit: `${options.limit_ms / 1000} s a stage`,
            seed: 'hash() of the car and of what is drawn, bench/readings.sql',
        };
        process.stdout.write(
            `${Object.entries(about)
                .map(([name, value]) => `${name}: ${value}`)
                .join('\n')}\n`,
        );
        process.stdout.write('Invented readings. Goals are those of the full run.\n');
        const lines: Line[] = [];
        for (const stage of stages) {
            if (options.only !== null && !options.only.includes(stage.name)) continue;
            const found = await stage.run(benchOf(root, programs, folder, data, options));
            process.stdout.write(`\n${stageText(`${stage.name}: ${stage.title}`, found)}\n`);
            lines.push(...found);
        }
        if (options.json !== null)
            writeFileSync(options.json, `${JSON.stringify({ ...about, lines }, null, 2)}\n`);
    } finally {
        rmSync(folder, { recursive: true, force: true });
    }
}

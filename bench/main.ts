import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { benchOf, sizeOf } from './bench.js';
import { Data, fieldOf } from './data.js';
import { line } from './line.js';
import { machine } from './machine.js';
import { type Options, readOptions, usage } from './options.js';
import type { Line, Stage } from './stage.js';
import accuracy from './stages/accuracy.js';
import answers from './stages/answers.js';
import growth from './stages/growth.js';
import increment from './stages/increment.js';
import load from './stages/load.js';
import models from './stages/models.js';
import pages from './stages/pages.js';
import season from './stages/season.js';
import shapes from './stages/shapes.js';
import slopes from './stages/slopes.js';
import smallFiles from './stages/smallFiles.js';
import { stageText } from './text.js';

const stages: readonly Stage[] = [
    season,
    load,
    smallFiles,
    models,
    slopes,
    accuracy,
    growth,
    shapes,
    answers,
    increment,
    pages,
];

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
    const places = { root, programs, folder };
    const stop = new AbortController();
    for (const name of ['SIGINT', 'SIGTERM'] as const) process.once(name, () => stop.abort());
    // The quick run is over in three minutes wherever it runs.
    const end = options.full ? Infinity : performance.now() + 170_000;
    try {
        const data = await Data.open(join(root, 'bench'), folder);
        const { vehicles, chassis } = fieldOf(sizeOf(options));
        const about = {
            ...machine(await data.value('select version()')),
            command: ['npm run bench', ...(args.length > 0 ? ['--', ...args] : [])].join(' '),
            size: `${sizeOf(options)} readings of ${vehicles} vehicles and ${chassis} chassis where a stage says nothing else`,
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
            const bench = benchOf(places, data, options, { signal: stop.signal, end });
            const found = await stage.run(bench).catch((error: Error) => {
                if (stop.signal.aborted) throw error;
                process.exitCode = 1;
                return [line(stage.name, 'failed', undefined, { note: error.message })];
            });
            process.stdout.write(`\n${stageText(`${stage.name}: ${stage.title}`, found)}\n`);
            lines.push(...found);
            if (options.json !== null)
                writeFileSync(options.json, `${JSON.stringify({ ...about, lines }, null, 2)}\n`);
        }
    } catch (error) {
        if (!stop.signal.aborted) throw error;
        process.stderr.write('Stopped.\n');
        process.exitCode = 1;
    } finally {
        rmSync(folder, { recursive: true, force: true });
    }
}

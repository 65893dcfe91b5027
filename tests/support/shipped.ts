import { spawnSync } from 'node:child_process';
import {
    copyFileSync,
    cpSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    realpathSync,
    rmSync,
    statSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { packageRoot } from '../../src/packageRoot.js';
import { inProcess } from './inProcess.js';
import { unpack } from './packed.js';
import type { Ended } from './program.js';

/** How an ask ended, what it said on stdout, and the files that it wrote. */
export interface Answer {
    status: number | null;
    stdout: string;
    stderr: string;
    files: ReadonlyMap<string, Buffer>;
}

/** Readings of which cars a small database holds. */
export const fewCars = ['car 1', 'job 104', 'job 112', 'job 120'];

/** Lines of the season's file `name`, of all cars or those of `vehicles`. */
function seasonCsv(name: string, vehicles?: readonly string[]): string {
    const text = readFileSync(join(packageRoot(), 'fixtures', 'season', `${name}.csv`), 'utf8');
    const [header, ...lines] = text.trimEnd().split('\n');
    const at = header!.split(',').indexOf('vehicle');
    const kept =
        vehicles === undefined || at < 0
            ? lines
            : lines.filter((line) => vehicles.includes(line.split(',')[at]!));
    return [header, ...kept, ''].join('\n');
}

/** Words of a command line, as a shell takes them apart. */
export function wordsOf(line: string): string[] {
    return [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare!);
}

/** Files below `folder` that are no databases, with their content. */
function filesBelow(folder: string): Map<string, Buffer> {
    const names = readdirSync(folder, { recursive: true, encoding: 'utf8' })
        .filter((name) => !/\.duckdb(\.|$)/.test(name) && statSync(join(folder, name)).isFile())
        .sort();
    return new Map(names.map((name) => [name, readFileSync(join(folder, name))]));
}

/**
 * A user's project with the packed program in it, below a path with spaces; what the examples of the help name lies there. Each ask
 * runs in a folder of its own.
 */
export class Shipped {
    readonly project: string;
    readonly main: string;
    #count = 0;

    /** `install` puts the tarball into the project; returns the script. */
    constructor(install: (project: string) => string = unpack) {
        this.project = realpathSync(mkdtempSync(join(tmpdir(), 'strut shop ')));
        writeFileSync(join(this.project, 'package.json'), '{ "private": true }\n');
        this.main = install(this.project);
        mkdirSync(this.inputs);
        for (const name of ['kits', 'targets', 'sessions', 'shafts', 'hardware', 'readings']) {
            writeFileSync(join(this.inputs, `${name}.csv`), seasonCsv(name, fewCars));
        }
        const foreign = join(packageRoot(), 'fixtures', 'cases', 'map', 'wide-german', 'export.csv');
        copyFileSync(foreign, join(this.inputs, 'export.csv'));
        writeFileSync(join(this.inputs, 'strutmark.duckdb.key'), `${'0123456789abcdef'.repeat(4)}\n`);
        for (const [site, key] of [
            ['north', '1'],
            ['south', '2'],
        ] as const) {
            const cars = fewCars.filter((_, at) => (at % 2 === 0) === (site === 'north'));
            const folder = this.newFolder();
            writeFileSync(join(folder, 'readings.csv'), seasonCsv('readings', cars));
            writeFileSync(join(folder, 'strutmark.duckdb.key'), `${key.repeat(64)}\n`);
            this.must('load kits.csv targets.csv readings.csv', folder);
            this.must(`share --to ../inputs/${site}.parquet`, folder);
        }
    }

    get inputs(): string {
        return join(this.project, 'inputs');
    }

    /** A folder in the project with the inputs in it and `database` as strutmark.duckdb. */
    newFolder(database?: string): string {
        this.#count += 1;
        const folder = join(this.project, `season ${this.#count}`);
        cpSync(this.inputs, folder, { recursive: true });
        if (database !== undefined) copyFileSync(database, join(folder, 'strutmark.duckdb'));
        return folder;
    }

    /** Runs the shell line `strutmark LINE` in `cwd` by the Node `node`. */
    run(line: string, cwd: string, node: string = process.execPath): Ended {
        const { status, stdout, stderr } = spawnSync('bash', ['-c', `"$0" "$1" ${line}`, node, this.main], {
            cwd,
            encoding: 'utf8',
            maxBuffer: 1e9,
        });
        return { status, stdout, stderr };
    }

    /** The same; whatever but success, or rows set aside, is an error. */
    must(line: string, cwd: string): Ended {
        const ended = this.run(line, cwd);
        if (ended.status !== 0 && ended.status !== 3) throw new Error(`strutmark ${line}: ${ended.stderr}`);
        return ended;
    }

    /** A database with the inputs loaded and nothing asked yet. */
    loaded(line = 'load kits.csv targets.csv sessions.csv shafts.csv hardware.csv readings.csv'): string {
        const folder = this.newFolder();
        this.must(line, folder);
        return join(folder, 'strutmark.duckdb');
    }

    /** A database into which files without rows were loaded. */
    empty(): string {
        const folder = this.newFolder();
        for (const name of ['kits', 'readings']) {
            writeFileSync(join(folder, `${name}.csv`), `${seasonCsv(name).split('\n')[0]}\n`);
        }
        this.must('load kits.csv readings.csv', folder);
        return join(folder, 'strutmark.duckdb');
    }

    /** What the packed program answers to `line` on a copy of `database`. */
    packed(line: string, database: string | undefined, node?: string): Answer {
        const folder = this.newFolder(database);
        const before = filesBelow(folder);
        try {
            return { ...this.run(line, folder, node), files: this.#written(folder, before) };
        } finally {
            rmSync(folder, { recursive: true });
        }
    }

    /** The same in `folder`, which is left as it was but for its database. */
    packedIn(line: string, folder: string, node?: string): Answer {
        const before = filesBelow(folder);
        try {
            return { ...this.run(line, folder, node), files: this.#written(folder, before) };
        } finally {
            this.#restore(folder);
        }
    }

    /** What the sources answer to `line` in `folder`, which is left as it was but for its database. */
    async sources(line: string, folder: string): Promise<Answer> {
        const before = filesBelow(folder);
        const cwd = process.cwd();
        process.chdir(folder);
        try {
            const { status, out, err } = await inProcess(...wordsOf(line));
            return { status, stdout: out, stderr: err, files: this.#written(folder, before) };
        } finally {
            process.chdir(cwd);
            this.#restore(folder);
        }
    }

    #restore(folder: string): void {
        for (const name of readdirSync(folder)) {
            if (!name.startsWith('strutmark.duckdb')) rmSync(join(folder, name), { recursive: true });
        }
        cpSync(this.inputs, folder, { recursive: true });
    }

    #written(folder: string, before: ReadonlyMap<string, Buffer>): Map<string, Buffer> {
        return new Map(
            [...filesBelow(folder)].filter(([name, content]) => !before.get(name)?.equals(content)),
        );
    }

    /** Examples of the help by command. */
    examples(): Map<string, string> {
        const [, list] = this.must('--help', this.project).stdout.split('\nCommands:\n');
        const names = [...list!.matchAll(/^ {2}([a-z]+) /gm)];
        return new Map(
            names
                .map(([, name]) => name!)
                .filter((name) => name !== 'help')
                .map((name) => {
                    const { stdout } = this.must(`${name} --help`, this.project);
                    const found = /\nExample:\n {2}npx strutmark (.+)\n$/.exec(stdout);
                    if (found === null) throw new Error(`strutmark ${name} --help ends without an example`);
                    return [name, found[1]!];
                }),
        );
    }

    close(): void {
        rmSync(this.project, { recursive: true });
    }
}

/** From where on two texts differ. */
function apart(one: string, other: string): string {
    const at = [...one].findIndex((letter, place) => letter !== other[place]);
    const from = Math.max(0, (at < 0 ? one.length : at) - 40);
    return [one, other].map((text) => JSON.stringify(text.slice(from, from + 120))).join(', the sources ');
}

/** What does not belong into any answer: a bug, or another than that of the sources. */
export function faults(line: string, packed: Answer, sources: Answer): string[] {
    const found: string[] = [];
    const say = (text: string) => found.push(`strutmark ${line}: ${text}`);
    if (packed.status === 70 || packed.status === null) say(`ends with ${packed.status}: ${packed.stderr}`);
    else if (packed.status !== sources.status)
        say(
            `ends with ${packed.status}, of the sources ${sources.status}: ${packed.stderr} ${sources.stderr}`,
        );
    else if (packed.stdout !== sources.stdout)
        say(`says another thing than the sources do: ${apart(packed.stdout, sources.stdout)}`);
    else if (packed.status === 1 && packed.stderr !== sources.stderr)
        say(`complains otherwise than the sources do: ${packed.stderr} ${sources.stderr}`);
    const names = (answer: Answer) => [...answer.files.keys()].join(', ');
    if (names(packed) !== names(sources)) say(`writes ${names(packed)}, the sources ${names(sources)}`);
    for (const [name, content] of packed.files) {
        if (sources.files.get(name)?.equals(content) === false) say(`${name} is not what the sources write`);
    }
    return found;
}

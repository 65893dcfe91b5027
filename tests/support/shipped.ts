import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
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
import { tableFromIPC } from 'apache-arrow';
import { readParquet } from 'parquet-wasm/node';
import { packageRoot } from '../../src/packageRoot.js';
import { inProcess } from './inProcess.js';
import { unpack } from './packed.js';
import { PackedProgram } from './packedProgram.js';
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
export function seasonCsv(name: string, vehicles?: readonly string[]): string {
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

/** The folder of a user's project, below a path with spaces. */
export function newProject(): string {
    const project = realpathSync(mkdtempSync(join(tmpdir(), 'strut shop ')));
    writeFileSync(join(project, 'package.json'), '{ "private": true }\n');
    return project;
}

/**
 * A user's project with the packed program in it; what the examples of the help name lies there. Each ask
 * runs in a folder of its own.
 */
export class Shipped {
    readonly project: string;
    readonly main: string;
    readonly #started: PackedProgram[] = [];
    #count = 0;

    /** Its script is `main` where the program was installed into the `project` before. */
    constructor(project = newProject(), main = unpack(project)) {
        this.project = project;
        this.main = main;
        mkdirSync(this.inputs);
        for (const name of ['kits', 'targets', 'sessions', 'shafts', 'hardware', 'readings']) {
            writeFileSync(join(this.inputs, `${name}.csv`), seasonCsv(name, fewCars));
        }
        const foreign = join(packageRoot(), 'fixtures', 'cases', 'map', 'wide-german', 'export.csv');
        copyFileSync(foreign, join(this.inputs, 'export.csv'));
        writeFileSync(join(this.inputs, 'strutmark.duckdb.key'), `${'0123456789abcdef'.repeat(4)}\n`);
    }

    /** Adds the files of two sites to the inputs, which the example of `merge` names. */
    async addSites(program: PackedProgram): Promise<void> {
        for (const [site, key] of [
            ['north', '1'],
            ['south', '2'],
        ] as const) {
            const cars = fewCars.filter((_, at) => (at % 2 === 0) === (site === 'north'));
            const folder = this.newFolder();
            writeFileSync(join(folder, 'readings.csv'), seasonCsv('readings', cars));
            writeFileSync(join(folder, 'strutmark.duckdb.key'), `${key.repeat(64)}\n`);
            await this.must('load --later kits.csv targets.csv readings.csv', folder, program);
            await this.must(`share --to ../inputs/${site}.parquet`, folder, program);
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

    /** One process of the packed program for many asks, by the Node `node`. */
    start(node?: string): PackedProgram {
        const started = new PackedProgram(this.main, node);
        this.#started.push(started);
        return started;
    }

    /** The same while others go on. */
    async #ask(line: string, cwd: string, by: string | PackedProgram = process.execPath): Promise<Ended> {
        if (by instanceof PackedProgram) return by.run(wordsOf(line), cwd);
        const child = spawn('bash', ['-c', `"$0" "$1" ${line}`, by, this.main], { cwd });
        const ended: Ended = { status: null, stdout: '', stderr: '' };
        for (const name of ['stdout', 'stderr'] as const) {
            child[name].setEncoding('utf8').on('data', (text: string) => {
                ended[name] += text;
            });
        }
        const [status] = (await once(child, 'close')) as [number | null];
        return { ...ended, status };
    }

    /** Whatever but success, or rows set aside, is an error. */
    async must(line: string, cwd: string, program: PackedProgram): Promise<void> {
        const { status, stderr } = await this.#ask(line, cwd, program);
        if (status !== 0 && status !== 3) throw new Error(`strutmark ${line}: ${stderr}`);
    }

    /** A database with the inputs loaded and nothing asked yet. */
    async loaded(
        program: PackedProgram,
        line = 'load --later kits.csv targets.csv sessions.csv shafts.csv hardware.csv readings.csv',
    ): Promise<string> {
        const folder = this.newFolder();
        await this.must(line, folder, program);
        return join(folder, 'strutmark.duckdb');
    }

    /** A database into which files without rows were loaded. */
    async empty(program: PackedProgram): Promise<string> {
        const folder = this.newFolder();
        for (const name of ['kits', 'readings']) {
            writeFileSync(join(folder, `${name}.csv`), `${seasonCsv(name).split('\n')[0]}\n`);
        }
        await this.must('load --later kits.csv readings.csv', folder, program);
        return join(folder, 'strutmark.duckdb');
    }

    /** What the packed program answers to `line` on a copy of `database`: a process of its own by a Node, or one that was started. */
    async packed(line: string, database: string | undefined, by?: string | PackedProgram): Promise<Answer> {
        const folder = this.newFolder(database);
        const before = filesBelow(folder);
        try {
            return { ...(await this.#ask(line, folder, by)), files: this.#written(folder, before) };
        } finally {
            rmSync(folder, { recursive: true });
        }
    }

    /** What the packed program answers to `line` in `folder`, where all that it makes stays. */
    async made(line: string, folder: string, node: string): Promise<Answer> {
        const before = filesBelow(folder);
        return { ...(await this.#ask(line, folder, node)), files: this.#written(folder, before) };
    }

    /** The same as {@link packed} in `folder`, which is left as it was but for its database. */
    async packedIn(line: string, folder: string, by?: string | PackedProgram): Promise<Answer> {
        const before = filesBelow(folder);
        try {
            return { ...(await this.#ask(line, folder, by)), files: this.#written(folder, before) };
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
    async examples(program: PackedProgram): Promise<Map<string, string>> {
        const help = async (...words: string[]) => {
            const { status, stdout, stderr } = await program.run([...words, '--help'], this.project);
            if (status !== 0) throw new Error(`strutmark ${words.join(' ')} --help: ${stderr}`);
            return stdout;
        };
        const [, list] = (await help()).split('\nCommands:\n');
        const names = [...list!.matchAll(/^ {2}([a-z]+) /gm)].map(([, name]) => name!);
        const examples = new Map<string, string>();
        for (const name of names.filter((name) => name !== 'help')) {
            const found = /\nExample:\n {2}npx strutmark (.+)\n$/.exec(await help(name));
            if (found === null) throw new Error(`strutmark ${name} --help ends without an example`);
            examples.set(name, found[1]!);
        }
        return examples;
    }

    close(): void {
        for (const program of this.#started) program.close();
        rmSync(this.project, { recursive: true });
    }
}

/** From where on two texts differ. */
function apart(one: string, other: string): string {
    const at = [...one].findIndex((letter, place) => letter !== other[place]);
    const from = Math.max(0, (at < 0 ? one.length : at) - 40);
    return [one, other].map((text) => JSON.stringify(text.slice(from, from + 120))).join(', the sources ');
}

/** Whether two files hold the same: bytes, or the rows of a Parquet file, whose bytes tell how the database lay on the disk too. */
export function isSame(name: string, one: Buffer, other: Buffer): boolean {
    if (one.equals(other) || !name.endsWith('.parquet')) return one.equals(other);
    const rowsOf = (file: Buffer) =>
        JSON.stringify(tableFromIPC(readParquet(file).intoIPCStream()).toArray(), (_, value) =>
            typeof value === 'bigint' ? String(value) : value,
        );
    return rowsOf(one) === rowsOf(other);
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
        const written = sources.files.get(name);
        if (written !== undefined && !isSame(name, content, written))
            say(`${name} is not what the sources write`);
    }
    return found;
}

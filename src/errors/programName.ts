import { existsSync, readFileSync } from 'node:fs';
import { basename, delimiter, dirname, join } from 'node:path';
import { shellPath } from './words.js';

/** How a process was started. */
interface Started {
    /** Script as it was named, links not followed; of another program where this one serves as a library. */
    script: string | undefined;
    /** Search path of commands. */
    path: string;
    cwd: string;
}

const isNpmFolder = (folder: string) => /[\\/]node_modules[\\/]\.bin[\\/]?$/.test(folder);

const isThere = (folder: string) =>
    ['strutmark', 'strutmark.cmd'].some((name) => existsSync(join(folder, name)));

/** Whether npx finds the program from `folder`: a project that installed it, or its own checkout. */
function isKnownToNpx(folder: string): boolean {
    if (isThere(join(folder, 'node_modules', '.bin'))) return true;
    const description = join(folder, 'package.json');
    if (existsSync(description)) return /"name":\s*"strutmark"/.test(readFileSync(description, 'utf8'));
    return dirname(folder) !== folder && isKnownToNpx(dirname(folder));
}

const quoted = (text: string) => (/^[\w@%+=:,./\\-]+$/.test(text) ? text : `"${text}"`);

/**
 * Words that start this program from where it was `started`: `strutmark` where the search path has it, else `npx strutmark`, else
 * `node` with the script.
 */
export function nameWhen({ script, path, cwd }: Started): string {
    const folders = path.split(delimiter).filter((folder) => folder !== '' && !isNpmFolder(folder));
    const isOurs = script !== undefined && /^(strutmark|main\.js)$/.test(basename(script));
    if (isOurs && basename(script) === 'strutmark' && folders.includes(dirname(script))) return 'strutmark';
    if (!isOurs || isKnownToNpx(cwd)) return 'npx strutmark';
    return folders.some(isThere) ? 'strutmark' : `node ${quoted(script)}`;
}

let name: string | undefined;
let options = '';

/** Lets hints ask the database `db` and the folder `readings`, as the command line does. */
export function hintsAsk({ db, readings }: { db?: string; readings?: string | undefined }): void {
    options = db === undefined || db === 'strutmark.duckdb' ? '' : ` --db ${shellPath(db)}`;
    if (readings !== undefined) options += ` --readings ${shellPath(readings)}`;
}

/** What a reader of a hint types to start this program and ask what the command line asks, such as `npx strutmark`. */
export function programName(given = options): string {
    name ??= nameWhen({ script: process.argv[1], path: process.env.PATH ?? '', cwd: process.cwd() });
    return name + given;
}

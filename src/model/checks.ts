import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { UsageError } from '../errors/errors.js';
import { unknownCheck } from '../errors/messages.js';
import { programName } from '../errors/programName.js';
import { packageRoot } from '../packageRoot.js';
import { once } from './sqlFile.js';

/** Temporary table of what all checks find, made where a query names it. */
export const SUSPECTS = 'suspects';

/** One query of `sql/checks`: returns the offending rows; its header says what they mean. */
export interface Check {
    name: string;
    title: string;
    likely: string;
    mend: string;
    /** Checks whose findings on the same car, visit and corner are likely consequences of this one's. */
    explains: readonly string[];
    query: string;
    /** The function of this check in `src/stats/checks` makes the findings from the rows of the query. */
    isComputed: boolean;
    /** Tables that this function is given whole besides. */
    givenWhole: readonly string[];
}

/** What `check` reads: its query, and names of tables. */
export const readBy = ({ query, givenWhole }: Check): string[] => [query, ...givenWhole];

function readCheck(folder: string, file: string): Check {
    const query = readFileSync(join(folder, file), 'utf8');
    const line = (key: string) => new RegExp(`^-- ${key}: (.+)$`, 'm').exec(query)?.[1];
    const header = (key: string) => {
        const found = line(key);
        if (found === undefined)
            throw new Error(`sql/checks/${file}: the header has no line "-- ${key}: ..."`);
        return found;
    };
    return {
        name: file.replace(/\.sql$/, ''),
        title: header('title'),
        likely: header('likely'),
        get mend() {
            return header('mend').replaceAll(/\bstrutmark (?=[a-z])/g, `${programName()} `);
        },
        explains: line('explains')?.split(', ') ?? [],
        query,
        isComputed: line('computed by') === 'src/stats/checks',
        givenWhole: line('given whole')?.split(', ') ?? [],
    };
}

/**
 * The checks, each behind all those that may explain its findings, else in name order. Throws when a header misses its
 * title, likely or mend line, or explains what does not exist or is explained by it.
 */
export const checks = once((): readonly Check[] => {
    const folder = join(packageRoot(), 'sql', 'checks');
    let waiting = readdirSync(folder)
        .filter((file) => file.endsWith('.sql'))
        .sort()
        .map((file) => readCheck(folder, file));
    const names = waiting.map(({ name }) => name);
    const unknown = waiting.flatMap(({ explains }) => explains).filter((name) => !names.includes(name));
    if (unknown.length > 0) throw new Error(`sql/checks: there is no check ${unknown.join(', ')} to explain`);
    const ordered: Check[] = [];
    while (waiting.length > 0) {
        const explained = new Set(waiting.flatMap(({ explains }) => explains));
        const ready = waiting.filter(({ name }) => !explained.has(name));
        if (ready.length === 0) throw new Error('sql/checks: checks explain each other in a circle');
        ordered.push(...ready);
        waiting = waiting.filter((check) => !ready.includes(check));
    }
    return ordered;
});

export interface CheckQuestion {
    only?: string | undefined;
}

/** The checks to run: with `only`, this one and those that may explain its findings. */
export function asked({ only }: CheckQuestion): readonly Check[] {
    const all = checks();
    if (only === undefined) return all;
    if (!all.some(({ name }) => name === only)) {
        throw new UsageError(unknownCheck(only, all.map(({ name }) => name).sort()));
    }
    return all.filter(({ name, explains }) => name === only || explains.includes(only));
}

/** What the checks will read; a {@link UsageError} when there is no check `only`. */
export function checkNeeds(question: CheckQuestion): string[] {
    return asked(question).flatMap(readBy);
}

import { parseArgs } from 'node:util';

export const usage = `npm run bench -- [--full] [--only STAGE,...] [--limit SECONDS] [--memory SIZE] [--dir DIR] [--json FILE]

  --full           5,000,000 readings instead of 100,000, and pictures timed in Chromium
  --only NAMES     only these stages, by name
  --limit SECONDS  time for one stage; what is not done by then is reported as such (30, with --full 3600)
  --memory SIZE    with --full: also 50,000,000 readings with DuckDB's memory limited to SIZE, such as 2GiB
  --dir DIR        where to put the files while it runs (the system's temporary folder)
  --json FILE      write the result as JSON too
`;

export interface Options {
    full: boolean;
    only: string[] | null;
    limit_ms: number;
    memory: string | null;
    dir: string | null;
    json: string | null;
    help: boolean;
}

/** Reads the command line; throws an error that says what is wrong with it. */
export function readOptions(args: readonly string[], stages: readonly string[]): Options {
    const { values } = parseArgs({
        args: [...args],
        options: {
            full: { type: 'boolean', default: false },
            only: { type: 'string' },
            limit: { type: 'string' },
            memory: { type: 'string' },
            dir: { type: 'string' },
            json: { type: 'string' },
            help: { type: 'boolean', default: false },
        },
    });
    const only = values.only?.split(',') ?? null;
    const unknown = only?.find((name) => !stages.includes(name));
    if (unknown !== undefined) throw new Error(`no stage ${unknown}; the stages: ${stages.join(', ')}`);
    const limit_s = Number(values.limit ?? (values.full ? 3600 : 30));
    if (!(limit_s > 0)) throw new Error(`--limit ${values.limit}: give seconds`);
    return {
        full: values.full,
        only,
        limit_ms: 1000 * limit_s,
        memory: values.memory ?? null,
        dir: values.dir ?? null,
        json: values.json ?? null,
        help: values.help,
    };
}

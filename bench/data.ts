import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type DuckDBConnection, DuckDBInstance } from '@duckdb/node-api';
import { type Shape, shapedQuery } from './shapes.js';

/** Which invented readings: cars numbered from `first`, and sessions of each car that has any. */
export interface Field {
    vehicles: number;
    chassis: number;
    first?: number;
    sessions?: number;
    /** Crowded into one thing, see `shapes.ts`. */
    shape?: Shape;
}

/** The field of about `size` readings: 12.5 a car, at most 2,000 chassis, where there are fewer 2,500 readings each. */
export function fieldOf(size: number): Field {
    return {
        vehicles: Math.round(size / 12.5),
        chassis: Math.max(20, Math.min(2000, Math.round(size / 2500))),
    };
}

/** The generator of `bench/readings.sql` for one field. */
export function readingsQuery(sql: string, { vehicles, chassis, first = 0, sessions = 1 }: Field): string {
    return sql
        .replaceAll('$vehicles', String(vehicles))
        .replaceAll('$chassis', String(chassis))
        .replaceAll('$first', String(first))
        .replaceAll('$sessions', String(sessions));
}

/** Invented CSV files, made when they are first asked for. */
export class Data {
    readonly #connection: DuckDBConnection;
    readonly #sources: string;
    readonly #folder: string;

    private constructor(connection: DuckDBConnection, sources: string, folder: string) {
        this.#connection = connection;
        this.#sources = sources;
        this.#folder = folder;
    }

    /** Files in `folder`, made by the queries in the folder `sources`. */
    static async open(sources: string, folder: string): Promise<Data> {
        const instance = await DuckDBInstance.create(':memory:');
        return new Data(await instance.connect(), sources, folder);
    }

    async #write(name: string, query: string): Promise<string> {
        const file = join(this.#folder, `${name}.csv`);
        if (!existsSync(file)) await this.#connection.run(`copy (${query}) to '${file}' (header)`);
        return file;
    }

    #source(name: string): string {
        return readFileSync(join(this.#sources, `${name}.sql`), 'utf8');
    }

    /** Path of the readings of `field`. */
    readings(field: Field): Promise<string> {
        const { vehicles, chassis, first = 0, sessions = 1, shape } = field;
        const query = readingsQuery(this.#source('readings'), field);
        const name = ['readings', vehicles, chassis, first, sessions, ...(shape?.name.split(' ') ?? [])].join(
            '-',
        );
        return this.#write(name, shape === undefined ? query : shapedQuery(query, shape));
    }

    kits(): Promise<string> {
        return this.#write('kits', this.#source('kits'));
    }

    targets(): Promise<string> {
        return this.#write('targets', this.#source('targets'));
    }

    /** First cell of the first row. */
    async value(query: string): Promise<string> {
        const rows = (await this.#connection.runAndReadAll(query)).getRows();
        return String(rows[0]![0]);
    }

    /** Runs `query` with `file` attached as database `asked`, read-only. */
    async ask(file: string, query: string): Promise<Record<string, unknown>[]> {
        await this.#connection.run(`attach '${file}' as asked (read_only)`);
        try {
            return (await this.#connection.runAndReadAll(query)).getRowObjectsJS();
        } finally {
            await this.#connection.run('detach asked');
        }
    }
}

import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';
import type { WatchRow } from '../contracts/results/watch.js';
import { Patience } from '../db/patience.js';
import { UserError } from '../errors/errors.js';
import { cannotListen } from '../errors/sheetMessages.js';
import { systemReason } from '../errors/systemReason.js';
import { FolderWatch } from '../load/watch/watchFolder.js';
import { openModel } from '../model/openModel.js';
import { listReports, loadReport, reportQueries } from '../report/registry.js';
import { writeReports } from '../report/writeReports.js';
import { gatherBook, sheetNeeds } from '../sheet/gatherBook.js';
import { sheetPage } from '../sheet/page.js';
import { Access, Pairing, Refused } from './access.js';
import { pairPage, startPage } from './plainPages.js';
import { type Received, sentRows, takeRows } from './takeRows.js';

export interface WorkshopOptions {
    db: string;
    /** Watched folder; null = none. */
    folder: string | null;
    port: number;
    /** Other machines of the network get in, once paired. */
    lan: boolean;
    settleSeconds: number;
    memoryLimit?: string | undefined;
    /** How long a request waits while another process holds the database. */
    waitSeconds: number;
    signal: AbortSignal;
    /** Hears the code that pairs the next device. */
    onCode: (code: string) => void;
    onWatched: (row: WatchRow) => void;
    /** What went wrong in one request or look, and hinders no other. */
    warn: (text: string) => void;
}

const MOST_BYTES = 256 * 1024;
const LOOK_MS = 1000;

const code = z.strictObject({ code: z.string().max(40) });

/** One local process for a workshop: pages, sheet and watched folder. It holds the database only while it asks or writes. */
export class Workshop {
    readonly #options: WorkshopOptions;
    readonly #server: Server;
    readonly #watch: FolderWatch | null;
    readonly #pages = new Map<string, { state: string; page: string }>();
    readonly #scratch = mkdtempSync(join(tmpdir(), 'strutmark-serve-'));
    #access!: Access;
    #pairing: Pairing | null = null;
    #timer: NodeJS.Timeout | undefined;
    /** DuckDB opens a file once in a process: one thing after the other. */
    #turn: Promise<unknown> = Promise.resolve();

    constructor(options: WorkshopOptions) {
        this.#options = options;
        const { folder, db, settleSeconds, warn } = options;
        this.#watch =
            folder === null
                ? null
                : new FolderWatch(folder, db, { settleSeconds, warn, load: this.#opening() });
        this.#server = createServer({ maxHeaderSize: 8192, requestTimeout: 15_000, headersTimeout: 10_000 });
        this.#server.maxConnections = 100;
        this.#server.on('request', (request, response) => void this.#answer(request, response));
    }

    #opening() {
        const { memoryLimit, waitSeconds, signal, warn } = this.#options;
        return { patience: new Patience(waitSeconds, signal, warn), say: warn, memoryLimit };
    }

    #inTurn<T>(work: () => Promise<T>): Promise<T> {
        const turn = this.#turn.then(work);
        this.#turn = turn.catch(() => undefined);
        return turn;
    }

    /** Begins to listen; the port that was taken. Throws a {@link UserError} where there is none. */
    async listen(): Promise<number> {
        const { port: wanted, lan } = this.#options;
        await new Promise<void>((resolve, reject) => {
            this.#server.once('error', (error) =>
                reject(new UserError(cannotListen(wanted, systemReason(error)))),
            );
            this.#server.listen(wanted, lan ? '0.0.0.0' : '127.0.0.1', resolve);
        });
        const { port } = this.#server.address() as AddressInfo;
        this.#pairing = lan ? new Pairing(this.#options.onCode) : null;
        this.#access = new Access(port, this.#pairing);
        if (this.#watch !== null) this.#look();
        return port;
    }

    async close(): Promise<void> {
        clearTimeout(this.#timer);
        this.#server.closeAllConnections();
        await new Promise<void>((resolve) => {
            this.#server.close(() => resolve());
        });
        await this.#turn;
        rmSync(this.#scratch, { recursive: true, force: true });
    }

    #look(): void {
        this.#inTurn(async () => {
            for (const row of await this.#watch!.look()) this.#options.onWatched(row);
        })
            .catch((error: Error) => this.#options.warn(error.message))
            .finally(() => {
                if (!this.#options.signal.aborted) this.#timer = setTimeout(() => this.#look(), LOOK_MS);
            });
    }

    async #answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
        const headers = {
            'Cache-Control': 'no-store',
            'Content-Security-Policy': "frame-ancestors 'none'",
            'Cross-Origin-Resource-Policy': 'same-origin',
            'Referrer-Policy': 'no-referrer',
            'X-Content-Type-Options': 'nosniff',
        };
        const end = (status: number, type: string, text: string, more = {}) => {
            response.writeHead(status, { ...headers, ...more, 'Content-Type': `${type}; charset=utf-8` });
            // What is still being sent is not waited for.
            response.end(request.method === 'HEAD' ? '' : text, () => {
                if (!request.complete) request.destroy();
            });
        };
        try {
            const path = request.url ?? '/';
            const refusal = this.#access.refusal(request, path === '/pair');
            if (refusal?.status === 401 && request.method === 'GET' && path === '/') {
                return end(200, 'text/html', pairPage());
            }
            if (refusal !== null) throw refusal;
            if (request.method === 'POST') {
                const body = await bodyOf(request);
                if (path === '/pair')
                    return end(200, 'text/plain', 'paired', { 'Set-Cookie': this.#pair(body) });
                if (path === '/rows')
                    return end(200, 'application/json', JSON.stringify(await this.#take(body)));
                throw new Refused(404, 'There is no such address.');
            }
            end(200, 'text/html', await this.#page(path));
        } catch (error) {
            if (error instanceof Refused) return end(error.status, 'text/plain', error.message);
            // Locked or not to be read: the device keeps its rows and asks again.
            if (error instanceof UserError)
                return end(503, 'text/plain', error.message, { 'Retry-After': '5' });
            this.#options.warn((error as Error).message);
            end(500, 'text/plain', 'This is a bug of Strutmark: see what the server said.');
        }
    }

    #pair(body: unknown): string {
        const asked = code.safeParse(body);
        const secret = asked.success ? (this.#pairing?.pair(asked.data.code) ?? null) : null;
        if (secret === null) throw new Refused(403, 'This is not the code that the server shows now.');
        return `strutmark=${secret}; HttpOnly; SameSite=Strict; Path=/; Max-Age=2592000`;
    }

    async #take(body: unknown): Promise<Received> {
        const asked = sentRows.safeParse(body);
        if (!asked.success)
            throw new Refused(422, `These are no rows of a sheet: ${asked.error.issues[0]!.message}`);
        const { db, folder } = this.#options;
        const place = folder === null ? `${db}.sheets` : join(folder, 'taken', 'sheets');
        return this.#inTurn(() => takeRows(db, place, asked.data.rows, this.#opening()));
    }

    async #page(path: string): Promise<string> {
        const reports = listReports();
        if (path === '/' || path === '/index.html') {
            const titled = reports.map(async (name) => ({
                name,
                title: (await loadReport(name)).report.title,
            }));
            return startPage(await Promise.all(titled));
        }
        if (path === '/pair') return pairPage();
        const name = /^\/([a-z]+)\.html$/.exec(path)?.[1];
        if (name === undefined || !(name === 'sheet' || reports.includes(name))) {
            throw new Refused(404, 'There is no such page.');
        }
        return this.#inTurn(async () => {
            const state = this.#state();
            const made = this.#pages.get(name);
            if (made?.state === state) return made.page;
            const page = await this.#make(name);
            // What the page asked for may have been made meanwhile.
            this.#pages.set(name, { state: this.#state(), page });
            return page;
        });
    }

    /** Changes with the database file. */
    #state(): string {
        return ['', '.wal']
            .map((end) => statSync(`${this.#options.db}${end}`, { throwIfNoEntry: false }))
            .map((stats) => (stats === undefined ? '' : `${stats.size} ${stats.mtimeMs} ${stats.ino}`))
            .join();
    }

    async #make(name: string): Promise<string> {
        const needs = name === 'sheet' ? sheetNeeds : reportQueries([name]);
        const db = await openModel(this.#options.db, { needs, ...this.#opening() });
        try {
            if (name === 'sheet') return sheetPage(await gatherBook(db, { vehicles: [] }, true));
            const [written] = await writeReports(db, [name], this.#scratch);
            return readFileSync(written!.file, 'utf8');
        } finally {
            db.close();
        }
    }
}

async function bodyOf(request: IncomingMessage): Promise<unknown> {
    const tooLarge = new Refused(413, `At most ${MOST_BYTES / 1024} kB at once.`);
    if (Number(request.headers['content-length'] ?? 0) > MOST_BYTES) throw tooLarge;
    const chunks: Buffer[] = [];
    let size = 0;
    for await (const chunk of request) {
        size += (chunk as Buffer).length;
        if (size > MOST_BYTES) throw tooLarge;
        chunks.push(chunk as Buffer);
    }
    try {
        return JSON.parse(Buffer.concat(chunks).toString('utf8'));
    } catch {
        throw new Refused(400, 'This is not JSON.');
    }
}

import type { Row } from '../record.js';
import { byId } from './dom.js';

interface Waiting {
    row: Row;
    cells: Record<string, string>;
}

/** The server's answer to rows: by their place in what was sent. */
interface Received {
    taken: number[];
    refused: { at: number; reason: string }[];
}

const MOST_ROWS = 100;
const PAUSE_MS = 4000;

/** Sends rows to the server that the page came from, again and again until each is taken in; they wait in the keep of the device. */
export class Sender {
    #busy = false;
    /** What was asked for meanwhile. */
    #next: (() => Waiting[]) | undefined;
    #timer: ReturnType<typeof setTimeout> | undefined;
    readonly #refused = new Map<string, string>();

    readonly #waiting: () => Waiting[];
    readonly #taken: (row: Row, cells: string) => void;
    readonly #show: () => void;

    constructor(waiting: () => Waiting[], taken: (row: Row, cells: string) => void, show: () => void) {
        this.#waiting = waiting;
        this.#taken = taken;
        this.#show = show;
        addEventListener('online', () => this.wake());
        this.wake();
    }

    wake(): void {
        void this.now(this.#waiting);
    }

    async now(waiting: () => Waiting[]): Promise<void> {
        const all = waiting();
        // A row that was mended is another one.
        const known = new Set(all.map(({ cells }) => JSON.stringify(cells)));
        for (const cells of this.#refused.keys()) if (!known.has(cells)) this.#refused.delete(cells);
        const rows = all.filter(({ cells }) => !this.#refused.has(JSON.stringify(cells))).slice(0, MOST_ROWS);
        if (this.#busy) {
            this.#next = waiting;
            return;
        }
        if (rows.length === 0) {
            if (this.#refused.size === 0) this.#say(null);
            return;
        }
        this.#busy = true;
        clearTimeout(this.#timer);
        let again = false;
        try {
            const answer = await fetch('/rows', {
                method: 'POST',
                headers: { 'Content-Type': 'application/json' },
                body: JSON.stringify({
                    rows: rows.map(({ row, cells }) => ({ cells, mends: row.taken !== '' })),
                }),
            });
            if (answer.status === 401) {
                this.#say('This phone is not paired any more: load the page again and type the code.');
            } else if (!answer.ok) throw new Error(await answer.text());
            else {
                const { taken, refused } = (await answer.json()) as Received;
                for (const at of taken) this.#taken(rows[at]!.row, JSON.stringify(rows[at]!.cells));
                for (const { at, reason } of refused)
                    this.#refused.set(JSON.stringify(rows[at]!.cells), reason);
                again = taken.length > 0;
                const [reason] = this.#refused.values();
                this.#say(reason === undefined ? null : `Not taken: ${reason}`);
            }
        } catch {
            this.#say(
                `${rows.length} ${rows.length === 1 ? 'reading waits' : 'readings wait'} on this device for the server.`,
            );
            this.#timer = setTimeout(() => this.now(waiting), PAUSE_MS);
        }
        this.#busy = false;
        this.#show();
        const next = this.#next;
        this.#next = undefined;
        if (again || next !== undefined) await this.now(next ?? waiting);
    }

    /** null = nothing to say. */
    #say(text: string | null): void {
        byId('sent').textContent = text ?? '';
        byId('sent').hidden = text === null;
    }
}

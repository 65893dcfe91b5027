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

export interface Sender {
    wake: () => void;
    now: (waiting: () => Waiting[]) => Promise<void>;
}

/** null = nothing to say. */
function say(text: string | null): void {
    byId('sent').textContent = text ?? '';
    byId('sent').hidden = text === null;
}

/** Sends rows to the server that the page came from, again and again until each is taken in; they wait in the keep of the device. */
export function sender(
    usual: () => Waiting[],
    noteTaken: (row: Row, cells: string) => void,
    show: () => void,
): Sender {
    let busy = false;
    /** What was asked for meanwhile. */
    let next: (() => Waiting[]) | undefined;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const refused = new Map<string, string>();
    const wake = () => void now(usual);

    async function now(waiting: () => Waiting[]): Promise<void> {
        const all = waiting();
        // A row that was mended is another one.
        const known = new Set(all.map(({ cells }) => JSON.stringify(cells)));
        for (const cells of refused.keys()) if (!known.has(cells)) refused.delete(cells);
        const rows = all.filter(({ cells }) => !refused.has(JSON.stringify(cells))).slice(0, MOST_ROWS);
        if (busy) {
            next = waiting;
            return;
        }
        if (rows.length === 0) {
            if (refused.size === 0) say(null);
            return;
        }
        busy = true;
        clearTimeout(timer);
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
                say('This phone is not paired any more: load the page again and type the code.');
            } else if (!answer.ok) throw new Error(await answer.text());
            else {
                const received = (await answer.json()) as Received;
                for (const at of received.taken) noteTaken(rows[at]!.row, JSON.stringify(rows[at]!.cells));
                for (const { at, reason } of received.refused)
                    refused.set(JSON.stringify(rows[at]!.cells), reason);
                again = received.taken.length > 0;
                const [reason] = refused.values();
                say(reason === undefined ? null : `Not taken: ${reason}`);
            }
        } catch {
            say(
                `${rows.length} ${rows.length === 1 ? 'reading waits' : 'readings wait'} on this device for the server.`,
            );
            timer = setTimeout(() => now(waiting), PAUSE_MS);
        }
        busy = false;
        show();
        const then = next;
        next = undefined;
        if (again || then !== undefined) await now(then ?? waiting);
    }

    addEventListener('online', wake);
    wake();
    return { wake, now };
}

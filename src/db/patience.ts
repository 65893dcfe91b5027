import { setTimeout } from 'node:timers/promises';
import { databaseAwaited } from '../errors/databaseMessages.js';

const PAUSE_MS = 100;

/** How long a command waits for a database that another process holds, over all its attempts together. */
export class Patience {
    readonly #seconds: number;
    readonly #signal: AbortSignal;
    readonly #say: (text: string) => void;
    #start: number | null = null;

    /** Ends at once when `signal` aborts; `say` hears once that it has begun. */
    constructor(seconds: number, signal: AbortSignal, say: (text: string) => void) {
        this.#seconds = seconds;
        this.#signal = signal;
        this.#say = say;
    }

    get waitedSeconds(): number {
        return this.#start === null ? 0 : (performance.now() - this.#start) / 1000;
    }

    /** Pauses before the next attempt; false when the time is over. `owner` is the process that holds `file`. */
    async again(file: string, owner: string | null): Promise<boolean> {
        if (this.#seconds === 0) return false;
        if (this.#start === null) {
            this.#start = performance.now();
            this.#say(databaseAwaited(file, owner, this.#seconds));
        }
        if (this.waitedSeconds >= this.#seconds) return false;
        await setTimeout(PAUSE_MS, undefined, { signal: this.#signal });
        return true;
    }
}

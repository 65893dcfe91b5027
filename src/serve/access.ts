import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';
import { networkInterfaces } from 'node:os';

/** A request that is not answered: status of HTTP, and a sentence for whoever sent it. */
export class Refused extends Error {
    readonly status: number;

    constructor(status: number, text: string) {
        super(text);
        this.status = status;
    }
}

const isLoopback = (address: string | undefined) =>
    address !== undefined && /^(::ffff:)?127\.|^::1$/.test(address);

/** Addresses of this machine on its networks, IPv4. */
export function ownAddresses(): string[] {
    return Object.values(networkInterfaces())
        .flat()
        .filter((one) => one !== undefined && one.family === 'IPv4' && !one.internal)
        .map((one) => one!.address);
}

const letters = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';

/** A code of 40 bits, to be read off a screen: no letter looks like another. */
function newCode(): string {
    const text = [...randomBytes(8)].map((byte) => letters[byte % letters.length]).join('');
    return `${text.slice(0, 4)}-${text.slice(4)}`;
}

const hashed = (text: string) => createHash('sha256').update(text).digest();

/** Wrong codes after which the code is another one. */
const MOST_TRIES = 5;
/** Tries of one device in a minute, whatever the code. */
const TRIES_A_MINUTE = 10;

/** Phones that may use the server, by a secret that each holds in a cookie; gone when the server ends. */
export class Pairing {
    #code = newCode();
    #tries = 0;
    readonly #secrets: Buffer[] = [];
    readonly #onCode: (code: string) => void;

    /** `onCode` hears the code that counts, at the start and whenever it changes. */
    constructor(onCode: (code: string) => void) {
        this.#onCode = onCode;
        onCode(this.#code);
    }

    #renew(): void {
        this.#code = newCode();
        this.#tries = 0;
        this.#onCode(this.#code);
    }

    /** The secret of a new device, null where the code is wrong. Each code pairs one device. */
    pair(code: string): string | null {
        const plain = (text: string) => text.toUpperCase().replace(/[^A-Z0-9]/g, '');
        if (!timingSafeEqual(hashed(plain(code)), hashed(plain(this.#code)))) {
            this.#tries++;
            if (this.#tries >= MOST_TRIES) this.#renew();
            return null;
        }
        const secret = randomBytes(32).toString('base64url');
        this.#secrets.push(hashed(secret));
        this.#renew();
        return secret;
    }

    holds(request: IncomingMessage): boolean {
        const secret = /(?:^|;\s*)strutmark=([\w-]{43})(?:;|$)/.exec(request.headers.cookie ?? '')?.[1];
        return secret !== undefined && this.#secrets.some((one) => timingSafeEqual(one, hashed(secret)));
    }
}

/** Counts what each address sends: at most `most` in a minute. */
export class Rate {
    readonly #most: number;
    readonly #now: () => number;
    readonly #sent = new Map<string, number[]>();

    constructor(most: number, now: () => number = () => performance.now()) {
        this.#most = most;
        this.#now = now;
    }

    allows(address: string): boolean {
        const since = this.#now() - 60_000;
        if (this.#sent.size > 1000) this.#sent.clear();
        const recent = (this.#sent.get(address) ?? []).filter((at) => at > since);
        this.#sent.set(address, recent);
        if (recent.length >= this.#most) return false;
        recent.push(this.#now());
        return true;
    }
}

/** Decides who gets in. */
export class Access {
    readonly #hosts: ReadonlySet<string>;
    readonly #pairing: Pairing | null;
    readonly #requests = new Rate(600);
    readonly #tries = new Rate(TRIES_A_MINUTE);

    /** `pairing` null = only this machine. */
    constructor(port: number, pairing: Pairing | null) {
        const names = ['127.0.0.1', 'localhost', '[::1]', ...(pairing === null ? [] : ownAddresses())];
        this.#hosts = new Set(names.map((name) => `${name}:${port}`));
        this.#pairing = pairing;
    }

    /** Null where the request may go on; `isPairing`: it is for the page or the answer that pairs. */
    refusal(request: IncomingMessage, isPairing: boolean): Refused | null {
        const { host = '', origin, 'content-type': type = '', 'sec-fetch-site': site } = request.headers;
        const from = request.socket.remoteAddress;
        // Another name for this address: a page of that name would count as ours.
        if (!this.#hosts.has(host)) return new Refused(421, 'This is not the address of this server.');
        if (!this.#requests.allows(from ?? '')) return new Refused(429, 'Too much at once: wait a minute.');
        if (request.url?.includes('?')) return new Refused(400, 'Addresses carry no data here.');
        if (site !== undefined && site !== 'same-origin' && site !== 'none') {
            return new Refused(403, 'Another site asked for this: open it by its own address.');
        }
        if (request.method === 'POST') {
            if (origin !== `http://${host}`) return new Refused(403, 'Only pages of this server may send.');
            if (!/^application\/json(;|$)/.test(type)) return new Refused(415, 'Send JSON.');
            if (isPairing && !this.#tries.allows(from ?? '')) {
                return new Refused(429, 'Too many tries: wait a minute.');
            }
        } else if (request.method !== 'GET' && request.method !== 'HEAD') {
            return new Refused(405, 'Only GET and POST.');
        }
        if (isPairing || isLoopback(from) || this.#pairing?.holds(request)) return null;
        return new Refused(401, 'Pair this device first: open / and type the code that the server shows.');
    }
}

import type { Row, Visit } from '../record.js';

/** Where the record stays: on the disk of the device, or only as long as the page is open. */
export type Kept = 'database' | 'storage' | 'nowhere';

/** The records of one sheet. Changes are merged into what is kept, so that two pages may write beside each other. */
export interface Keep {
    kept: Kept;
    visits(): Promise<Visit[]>;
    rows(): Promise<Row[]>;
    /** Changes a visit or makes it. */
    putVisit(id: string, change: Partial<Visit>): Promise<void>;
    /** Changes a row or makes it from `whole`; of what is typed, only the columns that `change` names. */
    putRow(whole: Row, change: Partial<Row>): Promise<void>;
    dropVisit(id: string): Promise<void>;
    /** Hears that another page has written. */
    onChange(hear: () => void): void;
}

export const rowKey = ({ visit, corner, phase, repeat }: Row) => `${visit} ${phase} ${corner} ${repeat}`;

const merged = (before: Row | undefined, whole: Row, change: Partial<Row>): Row => ({
    ...(before ?? whole),
    ...change,
    typed: { ...(before ?? whole).typed, ...change.typed },
});

const done = <T>(request: IDBRequest<T>): Promise<T> =>
    new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
    });

interface Stored<T> {
    key: string;
    prefix: string;
    value: T;
}

/** IndexedDB, each change on the disk before it counts. */
async function inDatabase(prefix: string): Promise<Keep> {
    const opening = indexedDB.open('strutmark', 1);
    opening.onupgradeneeded = () => {
        for (const name of ['visits', 'rows']) {
            opening.result.createObjectStore(name, { keyPath: 'key' }).createIndex('prefix', 'prefix');
        }
    };
    const db = await done(opening);
    // Another page with a newer program waits for this one otherwise.
    db.onversionchange = () => db.close();
    const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(prefix);
    const all = async <T>(store: 'visits' | 'rows'): Promise<T[]> => {
        const found = db.transaction(store).objectStore(store).index('prefix').getAll(prefix);
        return ((await done(found)) as Stored<T>[]).map(({ value }) => value);
    };
    const written = (stores: ('visits' | 'rows')[], work: (transaction: IDBTransaction) => void) =>
        new Promise<void>((resolve, reject) => {
            const transaction = db.transaction(stores, 'readwrite', { durability: 'strict' });
            transaction.oncomplete = () => {
                channel?.postMessage('written');
                resolve();
            };
            transaction.onabort = () => reject(transaction.error);
            work(transaction);
        });
    const change = <T>(store: 'visits' | 'rows', key: string, changed: (before: T | undefined) => T) =>
        written([store], (transaction) => {
            const records = transaction.objectStore(store);
            const reading = records.get(`${prefix} ${key}`);
            reading.onsuccess = () => {
                const before = (reading.result as Stored<T> | undefined)?.value;
                records.put({ key: `${prefix} ${key}`, prefix, value: changed(before) });
            };
        });
    const keep: Keep = {
        kept: 'database',
        visits: () => all('visits'),
        rows: () => all('rows'),
        putVisit: (id, fields) =>
            change<Visit>('visits', id, (before) => ({ ...before, ...fields, id }) as Visit),
        putRow: (whole, fields) =>
            change<Row>('rows', rowKey(whole), (before) => merged(before, whole, fields)),
        dropVisit: (id) =>
            written(['visits', 'rows'], (transaction) => {
                transaction.objectStore('visits').delete(`${prefix} ${id}`);
                const walk = transaction.objectStore('rows').index('prefix').openCursor(prefix);
                walk.onsuccess = () => {
                    const cursor = walk.result;
                    if (cursor === null) return;
                    if ((cursor.value as Stored<Row>).value.visit === id) cursor.delete();
                    cursor.continue();
                };
            }),
        onChange: (hear) => channel?.addEventListener('message', hear),
    };
    // Some browsers open a database and then refuse to write.
    await keep.putVisit('try', {});
    await keep.dropVisit('try');
    return keep;
}

type Texts = Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>;

/** What holds texts as localStorage does, where the device keeps nothing. */
function inMemory(): Texts {
    const texts = new Map<string, string>();
    return {
        getItem: (key) => texts.get(key) ?? null,
        setItem: (key, text) => void texts.set(key, text),
        removeItem: (key) => void texts.delete(key),
        key: (at) => [...texts.keys()][at] ?? null,
        get length() {
            return texts.size;
        },
    };
}

function inTexts(prefix: string, kept: 'storage' | 'nowhere', store: Texts): Keep {
    const all = <T>(kind: string): T[] =>
        Array.from({ length: store.length }, (_, i) => store.key(i)!)
            .filter((key) => key.startsWith(`${prefix} ${kind} `))
            .map((key) => JSON.parse(store.getItem(key)!) as T);
    const change = async <T>(key: string, changed: (before: T | undefined) => T) => {
        const before = store.getItem(`${prefix} ${key}`);
        store.setItem(
            `${prefix} ${key}`,
            JSON.stringify(changed(before === null ? undefined : (JSON.parse(before) as T))),
        );
    };
    return {
        kept,
        visits: async () => all('visit'),
        rows: async () => all('row'),
        putVisit: (id, fields) =>
            change<Visit>(`visit ${id}`, (before) => ({ ...before, ...fields, id }) as Visit),
        putRow: (whole, fields) =>
            change<Row>(`row ${rowKey(whole)}`, (before) => merged(before, whole, fields)),
        dropVisit: async (id) => {
            store.removeItem(`${prefix} visit ${id}`);
            for (const row of all<Row>('row'))
                if (row.visit === id) store.removeItem(`${prefix} row ${rowKey(row)}`);
        },
        onChange: (hear) => addEventListener('storage', hear),
    };
}

/** The best place that this device gives the records of `book` and `sheet`. */
export async function openKeep(book: string, sheet: string): Promise<Keep> {
    const prefix = `record ${book} ${sheet}`;
    try {
        return await inDatabase(prefix);
    } catch {
        try {
            const keep = inTexts(prefix, 'storage', localStorage);
            await keep.putVisit('try', {});
            await keep.dropVisit('try');
            return keep;
        } catch {
            return inTexts(prefix, 'nowhere', inMemory());
        }
    }
}

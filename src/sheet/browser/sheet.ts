import { type Book, type Car, type CornerName, corners, type Phase, phaseNames } from '../book.js';
import { plateOf, statesOf } from '../present.js';
import { cellsOf, csvOf, inOrder, type Row, type TypedColumn, typedColumns, type Visit } from '../record.js';
import { element } from './dom.js';
import { type Keep, rowKey } from './keep.js';
import { type Sender, sender } from './send.js';

interface Place {
    corner: CornerName;
    phase: Phase;
    repeat: number;
    field: TypedColumn;
}

/** What the page shows of a sheet. */
export interface View {
    all(sheet: Sheet): void;
    /** What follows a key at once; the rest comes when the keys rest. */
    typed(sheet: Sheet): void;
    notKept(error: unknown): void;
}

const pad = (value: number) => String(value).padStart(2, '0');

/** Local wall time, to the minute or the second. */
function wallTime(seconds = false): string {
    const now = new Date();
    const day = `${now.getFullYear()}-${pad(now.getMonth() + 1)}-${pad(now.getDate())}`;
    const time = `${pad(now.getHours())}:${pad(now.getMinutes())}`;
    return `${day}T${time}${seconds ? `:${pad(now.getSeconds())}` : ''}`;
}

/** A name for a visit that no other device gives. */
function visitName(): string {
    const letters = 'abcdefghjkmnpqrstuvwxyz23456789';
    const code = [...crypto.getRandomValues(new Uint8Array(10))].map(
        (byte) => letters[byte % letters.length],
    );
    return `${wallTime().slice(0, 10)} ${code.slice(0, 5).join('')}-${code.slice(5).join('')}`;
}

/** What is typed, kept and sent; the page shows it. */
export class Sheet {
    visits: Visit[] = [];
    rows: Row[] = [];
    visit: Visit;
    place: Place = { corner: 'FL', phase: 'before', repeat: 1, field: 'camber_deg' };
    kitToFit = '';
    anyIndex = false;
    /** Whether the number in hand is taken as whole. */
    settled = true;
    #timer: ReturnType<typeof setTimeout> | undefined;
    #later: ReturnType<typeof setTimeout> | undefined;
    #writing: Promise<unknown> = Promise.resolve();
    #writes = 0;
    readonly #sender: Sender | null;
    readonly #view: View;
    readonly book: Book;
    readonly keep: Keep;

    constructor(book: Book, view: View, keep: Keep, visits: Visit[], rows: Row[]) {
        this.book = book;
        this.#view = view;
        this.keep = keep;
        this.visits = visits;
        this.rows = rows;
        const [newest] = [...visits].sort((a, b) => (a.started_at < b.started_at ? 1 : -1));
        this.visit = newest ?? this.newVisit(this.book.cars[0]!);
        this.resume();
        if (newest !== undefined && !this.isUnderWay(newest)) {
            this.visit = this.newVisit(newest);
            this.resume();
        }
        this.#sender = this.book.served
            ? sender(
                  () => this.waiting(),
                  (row, taken) => this.write(row, { taken }),
                  () => this.show(),
              )
            : null;
    }

    newVisit({ vehicle, chassis }: Pick<Car, 'vehicle' | 'chassis'>): Visit {
        const last = this.visit as Visit | undefined;
        return {
            id: visitName(),
            vehicle,
            chassis,
            visit_kind: 'adjust',
            session: '',
            target: last?.target ?? this.book.aim,
            gauge: last?.gauge ?? this.book.gauges[0] ?? '',
            technician: last?.technician ?? '',
            started_at: wallTime(true),
        };
    }

    /** Whether something was typed of a visit lately: a later page goes on with it, not with one of another day. */
    isUnderWay({ id, started_at }: Visit): boolean {
        const times = this.rows.filter(({ visit }) => visit === id).map(({ measured_at }) => measured_at);
        const last = [started_at, ...times].sort().at(-1)!;
        return Date.now() - new Date(last).getTime() < 12 * 3_600_000;
    }

    /** Goes to where the visit was left. */
    resume(): void {
        const own = this.rows.filter((row) => row.visit === this.visit.id);
        const [last] = own.sort((a, b) => (a.measured_at < b.measured_at ? 1 : -1));
        const { corner = 'FL', phase = 'before', repeat = 1 } = last ?? {};
        this.place = { corner, phase, repeat, field: 'camber_deg' };
    }

    get states() {
        return statesOf(this.book, this.visit.vehicle, this.visits, this.rows);
    }

    /** Rows of the state in hand. */
    get repeats(): Row[] {
        const { corner, phase } = this.place;
        return this.rows
            .filter((row) => row.visit === this.visit.id && row.corner === corner && row.phase === phase)
            .sort((a, b) => a.repeat - b.repeat);
    }

    /** The row in hand; made of what was known before where nothing of it is kept yet. */
    get row(): Row {
        const { corner, phase, repeat } = this.place;
        const found = this.repeats.find((row) => row.repeat === repeat);
        if (found !== undefined) return found;
        const like = this.repeats[0];
        const known = this.known();
        const sameVisit = known !== undefined && known.visit === this.visit.id;
        const other = this.rows.find(
            (row) =>
                row.visit === this.visit.id &&
                row.phase === phase &&
                row.corner === (corner === 'FL' ? 'FR' : 'FL'),
        );
        const isFront = corner.startsWith('F');
        const kit = like?.kit ?? (isFront ? (known?.kit ?? other?.kit ?? '') : '');
        const index = like?.typed.plate_index ?? known?.plate_index?.toString();
        const carried =
            like?.typed ?? (phase === 'after' && sameVisit && known.phase === 'moved' ? known : undefined);
        const typed: Row['typed'] = {};
        if (kit !== '' && index !== undefined) typed.plate_index = index;
        for (const mark of ['mark_1', 'mark_2'] as const) {
            const value = carried?.[mark];
            const isUsed =
                mark === 'mark_1' || plateOf(this.book, kit, this.visit.chassis)?.two_scales === true;
            if (kit !== '' && isUsed && value !== undefined && value !== null) typed[mark] = String(value);
        }
        return {
            visit: this.visit.id,
            corner,
            phase,
            repeat,
            measured_at: wallTime(),
            kit,
            plate_hand: like?.plate_hand ?? (kit === '' ? '' : (known?.plate_hand ?? '')),
            gauge: this.visit.gauge,
            technician: this.visit.technician,
            typed,
            taken: '',
            saved: '',
        };
    }

    /** The newest state of the corner ahead of the one in hand. */
    known() {
        const { corner, phase } = this.place;
        const later = phaseNames.slice(phaseNames.indexOf(phase));
        return this.states.find(
            (state) =>
                state.corner === corner && (state.visit !== this.visit.id || !later.includes(state.phase)),
        );
    }

    fields(): TypedColumn[] {
        const { kit, corner } = this.row;
        if (!corner.startsWith('F')) return ['camber_deg', 'toe_deg'];
        const plate = plateOf(this.book, kit, this.visit.chassis);
        return typedColumns.filter(
            (column) =>
                column.endsWith('_deg') ||
                (kit !== '' && (column !== 'mark_2' || plate?.two_scales === true)),
        );
    }

    ghost(column: TypedColumn): string {
        const known = this.known();
        if (known === undefined) return '';
        const value = column.endsWith('_deg')
            ? known.read[column.slice(0, -4) as 'camber'].deg
            : known.kit === (this.row.kit || null)
              ? known[column as 'mark_1']
              : null;
        return value === null ? '' : column.endsWith('_deg') ? value.toFixed(2) : String(value);
    }

    write(row: Row, change: Partial<Row>): void {
        const key = rowKey(row);
        const at = this.rows.findIndex((one) => rowKey(one) === key);
        const before = at < 0 ? row : this.rows[at]!;
        const after = { ...before, ...change, typed: { ...before.typed, ...change.typed } };
        if (at < 0) this.rows.push(after);
        else this.rows[at] = after;
        const isNew = !this.visits.some(({ id }) => id === row.visit);
        if (isNew) this.visits.push(this.visit);
        const visit = this.visit;
        this.#keepUp(async () => {
            if (isNew) await this.keep.putVisit(visit.id, visit);
            await this.keep.putRow(before, change);
        });
    }

    writeVisit(change: Partial<Visit>): void {
        Object.assign(this.visit, change);
        const { id } = this.visit;
        if (this.visits.some((visit) => visit.id === id)) this.#keepUp(() => this.keep.putVisit(id, change));
    }

    #keepUp(work: () => Promise<unknown>): void {
        this.#writes++;
        this.#writing = this.#writing.then(work).catch((error: unknown) => {
            this.#view.notKept(error);
        });
    }

    /** What other pages wrote; what is being written here meanwhile comes with the next call. */
    async refresh(): Promise<void> {
        await this.#writing;
        const writes = this.#writes;
        const [visits, rows] = [await this.keep.visits(), await this.keep.rows()];
        if (writes !== this.#writes) return;
        const byKey = <T>(items: T[], keyOf: (item: T) => string) =>
            items.sort((one, other) => (keyOf(one) < keyOf(other) ? -1 : 1));
        byKey(this.visits, ({ id }) => id);
        byKey(this.rows, rowKey);
        const isSame =
            JSON.stringify([this.visits, this.rows]) ===
            JSON.stringify([byKey(visits, ({ id }) => id), byKey(rows, rowKey)]);
        if (isSame) return;
        this.visits = visits;
        this.rows = rows;
        this.visit = visits.find(({ id }) => id === this.visit.id) ?? this.visit;
        this.show();
    }

    /** Changes the number in hand. */
    type(change: (text: string) => string): void {
        const { row } = this;
        const { field } = this.place;
        const before = row.typed[field] ?? '';
        const after = change(before).slice(0, 8);
        if (after !== before) this.write(row, { typed: { [field]: after } });
        clearTimeout(this.#timer);
        this.settled = /\.\d\d/.test(after);
        this.#timer = setTimeout(() => {
            this.settled = true;
            this.show();
        }, 1200);
        this.#view.typed(this);
        clearTimeout(this.#later);
        this.#later = setTimeout(() => this.show(), 150);
    }

    key(name: string): void {
        if (/^[0-9]$/.test(name)) this.type((text) => text + name);
        else if (name === '.') this.type((text) => (text.includes('.') ? text : `${text}.`));
        else if (name === 'sign') this.type((text) => (text.startsWith('-') ? text.slice(1) : `-${text}`));
        else if (name === 'back') this.type((text) => text.slice(0, -1));
        // An angle is read anew, never copied.
        else if (name === 'same' && !this.place.field.endsWith('_deg'))
            this.type((text) => (text === '' ? this.ghost(this.place.field) : text));
        else if (name === 'next') this.next();
    }

    next(): void {
        const fields = this.fields();
        const at = fields.indexOf(this.place.field);
        if (at + 1 < fields.length) this.go({ field: fields[at + 1]! });
        else this.go({ corner: corners[(corners.indexOf(this.place.corner) + 1) % corners.length]! });
    }

    go(to: Partial<Place>): void {
        const isElsewhere = to.corner !== undefined || to.phase !== undefined;
        this.place = { ...this.place, ...(isElsewhere && { repeat: 1, field: 'camber_deg' }), ...to };
        this.settled = true;
        this.#sender?.wake();
        this.show();
    }

    /** Readings that no file or server holds as they stand. */
    unsaved(): Row[] {
        const field = this.book.served ? 'taken' : 'saved';
        return inOrder(this.visits, this.rows)
            .filter(({ visit, row }) => row[field] !== JSON.stringify(cellsOf(visit, row)))
            .map(({ row }) => row);
    }

    /** What the server lacks; not the row in hand, unless it is asked for. */
    waiting(withRowInHand = false) {
        const own = rowKey(this.row);
        const unsaved = new Set(this.unsaved().map(rowKey));
        return inOrder(this.visits, this.rows)
            .filter(({ row }) => unsaved.has(rowKey(row)) && (withRowInHand || rowKey(row) !== own))
            .map(({ visit, row }) => ({ row, cells: cellsOf(visit, row) }));
    }

    async save(): Promise<void> {
        await this.refresh();
        const { visits, rows, visit } = this;
        const slug =
            visit.vehicle
                .replace(/[^\p{L}\p{N}]+/gu, '-')
                .replace(/^-|-$/g, '')
                .slice(0, 40) || 'car';
        const name = `readings-${slug}-${wallTime(true).replace(/[:T]/g, '-')}.csv`;
        const file = new File([csvOf(this.book.order, visits, rows)], name, { type: 'text/csv' });
        const written = inOrder(visits, rows);
        if (navigator.canShare?.({ files: [file] })) {
            // Whoever closes the share sheet has not saved.
            try {
                await navigator.share({ files: [file] });
            } catch {
                return;
            }
        } else {
            const address = URL.createObjectURL(file);
            const link = element('a', { href: address, download: name });
            link.click();
            setTimeout(() => URL.revokeObjectURL(address), 60_000);
        }
        for (const one of written)
            this.write(one.row, { saved: JSON.stringify(cellsOf(one.visit, one.row)) });
        this.show();
    }

    async forget(): Promise<void> {
        const { id, vehicle, chassis } = this.visit;
        await this.#writing;
        await this.keep.dropVisit(id);
        this.visits = this.visits.filter((visit) => visit.id !== id);
        this.rows = this.rows.filter((row) => row.visit !== id);
        this.visit =
            this.visits.find((visit) => visit.vehicle === vehicle) ?? this.newVisit({ vehicle, chassis });
        this.resume();
        this.show();
    }

    cars(): Pick<Car, 'vehicle' | 'chassis'>[] {
        const known = new Set(this.book.cars.map(({ vehicle }) => vehicle));
        const more = [...this.visits, this.visit].filter(({ vehicle }) => !known.has(vehicle));
        const names = [
            ...new Map(more.map(({ vehicle, chassis }) => [vehicle, { vehicle, chassis }])).values(),
        ];
        return [...this.book.cars, ...names];
    }

    send(): void {
        void this.#sender?.now(() => this.waiting(true));
    }

    show(): void {
        this.#view.all(this);
    }
}

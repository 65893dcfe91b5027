import { answerOf } from '../answer.js';
import {
    type Book,
    type Car,
    type CornerName,
    corners,
    fronts,
    type Phase,
    phaseNames,
    phases,
} from '../book.js';
import { doubtsOf, repeatsOf } from '../doubts.js';
import { plateOf, statesOf } from '../present.js';
import {
    cellsOf,
    csvOf,
    inOrder,
    isReading,
    type Row,
    type TypedColumn,
    typedColumns,
    type Visit,
} from '../record.js';
import { byId, choices, element, option } from './dom.js';
import { type Keep, openKeep, rowKey } from './keep.js';
import { normal } from './normal.js';
import { paperOf } from './paper.js';
import { type Sender, sender } from './send.js';
import { answerLines, columnWords, isBlank, missingWords } from './words.js';

const book = JSON.parse(byId('book').textContent!) as Book;

interface Place {
    corner: CornerName;
    phase: Phase;
    repeat: number;
    field: TypedColumn;
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

class Sheet {
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
    readonly keep: Keep;

    constructor(keep: Keep, visits: Visit[], rows: Row[]) {
        this.keep = keep;
        this.visits = visits;
        this.rows = rows;
        const [newest] = [...visits].sort((a, b) => (a.started_at < b.started_at ? 1 : -1));
        this.visit = newest ?? this.newVisit(book.cars[0]!);
        this.resume();
        if (newest !== undefined && !this.isUnderWay(newest)) {
            this.visit = this.newVisit(newest);
            this.resume();
        }
        this.#sender = book.served
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
            target: last?.target ?? book.aim,
            gauge: last?.gauge ?? book.gauges[0] ?? '',
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
        return statesOf(book, this.visit.vehicle, this.visits, this.rows);
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
            const isUsed = mark === 'mark_1' || plateOf(book, kit, this.visit.chassis)?.two_scales === true;
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
        const plate = plateOf(book, kit, this.visit.chassis);
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
            byId('kept').textContent = `This device did not keep the last number (${error}). Save now.`;
            byId('kept').hidden = false;
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
        // The search over the marks of two plates would be felt at every key.
        showFields(this);
        showDoubt(this);
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
        const field = book.served ? 'taken' : 'saved';
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
        const file = new File([csvOf(book.order, visits, rows)], name, { type: 'text/csv' });
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
        const known = new Set(book.cars.map(({ vehicle }) => vehicle));
        const more = [...this.visits, this.visit].filter(({ vehicle }) => !known.has(vehicle));
        const names = [
            ...new Map(more.map(({ vehicle, chassis }) => [vehicle, { vehicle, chassis }])).values(),
        ];
        return [...book.cars, ...names];
    }

    send(): void {
        void this.#sender?.now(() => this.waiting(true));
    }

    show(): void {
        showBar(this);
        showFields(this);
        showAnswer(this);
        showDoubt(this);
        showEarlier(this);
        byId('paper').replaceChildren(paperOf(book, this.visit, this.rows, this.states));
    }
}

function showBar(sheet: Sheet): void {
    const { visit, place, row } = sheet;
    byId('car').replaceChildren(
        ...sheet.cars().map(({ vehicle }) => option(vehicle, vehicle, vehicle === visit.vehicle)),
        option('', 'another car …', false),
    );
    const own = sheet.visits.filter(({ vehicle }) => vehicle === visit.vehicle);
    byId('visits').replaceChildren(
        ...own.map(({ id, started_at }) => {
            const count = sheet.rows.filter((one) => one.visit === id && isReading(one)).length;
            return option(
                id,
                `${started_at.slice(0, 16).replace('T', ' ')}, ${count} readings`,
                id === visit.id,
            );
        }),
        option('', 'a new visit', !own.some(({ id }) => id === visit.id)),
    );
    for (const [id, value] of [
        ['kind', visit.visit_kind],
        ['session', visit.session],
        ['gauge', visit.gauge],
        ['technician', visit.technician],
        ['target', visit.target],
        ['fit', sheet.kitToFit],
    ] as const)
        byId<HTMLSelectElement>(id).value = value;
    const fill = (id: string, values: Readonly<Record<string, string | undefined>>) => {
        for (const field of byId(id).querySelectorAll<HTMLInputElement>('[data-more]'))
            if (field !== document.activeElement) field.value = values[field.dataset.more!] ?? '';
    };
    fill('conditions', visit.conditions ?? {});
    fill('more', row.typed);
    byId('session-label').hidden = visit.visit_kind !== 'session';
    byId<HTMLInputElement>('any').checked = sheet.anyIndex;
    choices(
        byId('phase'),
        phaseNames.map((value) => ({ value, text: phases[value] })),
        place.phase,
    );
    choices(
        byId('corner'),
        corners.map((value) => ({ value, text: value })),
        place.corner,
    );
    const count = Math.max(1, place.repeat, ...sheet.repeats.map(({ repeat }) => repeat));
    choices(
        byId('repeat'),
        [
            ...Array.from({ length: count }, (_, i) => ({
                value: String(i + 1),
                text: String(i + 1),
                label: `reading ${i + 1}`,
            })),
            { value: String(count + 1), text: '+', label: 'read once more' },
        ].slice(-3),
        String(place.repeat),
    );
    if (!place.corner.startsWith('F')) byId('plate').hidden = true;
    byId<HTMLSelectElement>('kit').value = row.kit;
    byId<HTMLSelectElement>('hand').value = row.plate_hand || (place.corner === 'FL' ? 'left' : 'right');
    byId('hand').hidden = row.kit === '';
    const unsaved = sheet.unsaved().length;
    byId('save').textContent = `${book.served ? 'Send' : 'Save'}${unsaved === 0 ? '' : ` ${unsaved}`}`;
    byId<HTMLButtonElement>('save').disabled = unsaved === 0 && (book.served || sheet.rows.length === 0);
}

function showFields(sheet: Sheet): void {
    const { row, place } = sheet;
    const odd = new Set(doubtsNow(sheet).map(({ column }) => column));
    const isOpen = !byId('plate').hidden;
    const plate = element(
        'button',
        { type: 'button', 'data-value': 'plate', 'aria-expanded': String(isOpen), 'aria-controls': 'plate' },
        element('span', {}, 'plate'),
        element('i', {}, row.kit === '' ? 'original' : row.kit),
        element(
            'small',
            {},
            row.kit === '' ? 'mount' : row.plate_hand || (place.corner === 'FL' ? 'left' : 'right'),
        ),
    );
    byId('fields').replaceChildren(
        ...sheet.fields().map((column) => {
            const text = row.typed[column] ?? '';
            const ghost = sheet.ghost(column);
            return element(
                'button',
                {
                    type: 'button',
                    'data-value': column,
                    'aria-pressed': String(column === place.field),
                    class: odd.has(column) ? 'odd' : null,
                },
                element('span', {}, columnWords[column]),
                element(
                    'b',
                    {},
                    `${text === '' ? '\u00a0' : text.replace('-', '−')}${odd.has(column) ? '?' : ''}`,
                ),
                element('small', {}, ghost === '' ? '\u00a0' : `was ${ghost.replace('-', '−')}`),
            );
        }),
        ...(place.corner.startsWith('F') ? [plate] : []),
    );
}

function showAnswer(sheet: Sheet): void {
    const { visit } = sheet;
    const question = {
        car: visit,
        target: visit.target,
        kit: sheet.kitToFit || null,
        anyIndex: sheet.anyIndex,
    };
    const { rows, missing } = answerOf(normal, book, sheet.states, question);
    const sides = fronts.map((corner) => rows.find((row) => row.corner === corner) ?? null);
    const head = element(
        'tr',
        {},
        element('th', { scope: 'col' }, 'deg'),
        ...fronts.map((name) => element('th', { scope: 'col' }, name)),
    );
    const lines = answerLines.flatMap(({ head: name, of, strong }) => {
        const texts = sides.map((row, i) =>
            row !== null ? of(row) : strong ? missingWords[missing[fronts[i]!]!] : '',
        );
        if (isBlank(texts)) return [];
        return element(
            'tr',
            { class: strong && rows.length > 0 ? 'do' : null },
            element('th', { scope: 'row' }, name),
            ...texts.map((text) => element('td', {}, text)),
        );
    });
    byId('numbers').replaceChildren(element('thead', {}, head), element('tbody', {}, ...lines));
    byId('numbers').dataset.side = sheet.place.corner;
    const repeats = repeatsOf(book, visit, sheet.repeats).map(
        ({ angle, count, mean_deg, sd_deg, own_sd_deg }) =>
            `${angle} mean ${mean_deg.toFixed(3)} of ${count}, spread ${sd_deg.toFixed(3)} (gauge ${own_sd_deg.toFixed(3)})`,
    );
    byId('repeats').textContent = repeats.join('; ').replaceAll('-', '−');
}

function doubtsNow(sheet: Sheet) {
    const { row, place } = sheet;
    const doubts = doubtsOf(book, sheet.visit, sheet.states, sheet.rows, row);
    return doubts.filter(({ column, check, text }) =>
        column === place.field && !sheet.settled ? check === null && text.startsWith('"') : true,
    );
}

function showDoubt(sheet: Sheet): void {
    const [doubt] = doubtsNow(sheet);
    const line = byId('doubt');
    line.hidden = doubt === undefined;
    line.replaceChildren();
    if (doubt === undefined) return;
    const { text, value, column } = doubt;
    const mend =
        value === null
            ? []
            : [
                  element(
                      'button',
                      { type: 'button', 'data-column': column, 'data-mend': value },
                      value.replace('-', '−'),
                  ),
              ];
    line.replaceChildren(element('span', {}, text.replace(/(^|[^\w-])-(?=\d)/g, '$1−')), ...mend);
}

function showEarlier(sheet: Sheet): void {
    const number = (value: number | null, digits: number) =>
        value === null ? '–' : (digits === 0 ? String(value) : value.toFixed(digits)).replace('-', '−');
    const rows = sheet.states
        .filter(({ corner }) => corner === sheet.place.corner)
        .slice(0, 12)
        .map((state) =>
            element(
                'tr',
                {},
                ...[
                    `${state.on ?? ''} ${phases[state.phase]}`,
                    number(state.plate_index, 0),
                    number(state.mark_1, 0),
                    number(state.read.camber.deg, 2),
                    number(state.read.caster.deg, 2),
                    number(state.read.toe.deg, 2),
                ].map((text) => element('td', {}, text)),
            ),
        );
    byId('earlier-corner').textContent = sheet.place.corner;
    byId('earlier').replaceChildren(...rows);
}

/** Fills the choices that do not change while the page is open. */
function fillChoices(): void {
    const list = (id: string, values: readonly string[], blank: string | null) =>
        byId(id).replaceChildren(
            ...(blank === null ? [] : [option('', blank, false)]),
            ...values.map((value) => option(value, value, false)),
        );
    list('gauge', book.gauges, 'not named');
    list('technician', book.technicians, 'not named');
    byId('target').replaceChildren(
        option('', 'no target', false),
        ...book.targets.map((value) => option(value, `to ${value}`, false)),
    );
    list('kit', book.kits, 'original mount');
    list('fit', book.kits, 'the present one');
    list(
        'new-chassis',
        book.chassis.map(({ chassis }) => chassis),
        null,
    );
}

function listen(sheet: Sheet): void {
    const chosen = (id: string, hear: (value: string) => void) =>
        byId(id).addEventListener('change', ({ target }) => {
            hear((target as HTMLSelectElement).value);
            sheet.show();
        });
    const pressed = (id: string, hear: (value: string) => void) =>
        byId(id).addEventListener('click', ({ target }) => {
            const value = (target as HTMLElement).closest<HTMLElement>('[data-value]')?.dataset.value;
            if (value !== undefined) hear(value);
        });
    const clicked = (id: string, hear: () => void) => byId(id).addEventListener('click', hear);
    const panel = (open: boolean) => {
        byId('visit').hidden = !open;
        byId('open').setAttribute('aria-expanded', String(open));
    };
    chosen('car', (vehicle) => {
        const car = sheet.cars().find((one) => one.vehicle === vehicle);
        byId('new-car').hidden = car !== undefined;
        if (car === undefined) return panel(true);
        const own = sheet.visits.filter((visit) => visit.vehicle === vehicle && sheet.isUnderWay(visit));
        sheet.visit = own.at(-1) ?? sheet.newVisit(car);
        sheet.resume();
    });
    clicked('use', () => {
        const vehicle = byId<HTMLInputElement>('new-name').value.trim();
        const fits =
            new RegExp(book.name.pattern, 'u').test(vehicle) && [...vehicle].length <= book.name.length;
        byId('new-odd').hidden = fits;
        if (!fits) return;
        const chassis = byId<HTMLSelectElement>('new-chassis').value;
        sheet.visit = sheet.newVisit(
            sheet.cars().find((car) => car.vehicle === vehicle) ?? { vehicle, chassis },
        );
        byId('new-car').hidden = true;
        sheet.resume();
        panel(false);
        sheet.show();
    });
    chosen('visits', (id) => {
        sheet.visit = sheet.visits.find((visit) => visit.id === id) ?? sheet.newVisit(sheet.visit);
        sheet.resume();
    });
    chosen('kind', (value) => sheet.writeVisit({ visit_kind: value as Visit['visit_kind'] }));
    chosen('session', (session) => sheet.writeVisit({ session: session.trim() }));
    for (const name of ['gauge', 'technician', 'target'] as const)
        chosen(name, (value) => sheet.writeVisit({ [name]: value }));
    chosen('fit', (kit) => {
        sheet.kitToFit = kit;
    });
    byId('any').addEventListener('change', ({ target }) => {
        sheet.anyIndex = (target as HTMLInputElement).checked;
        sheet.show();
    });
    chosen('kit', (kit) =>
        sheet.write(sheet.row, { kit, plate_hand: kit === '' ? '' : sheet.row.plate_hand }),
    );
    chosen('hand', (hand) => sheet.write(sheet.row, { plate_hand: hand as 'left' | 'right' }));
    const told = (id: string, hear: (change: Record<string, string>) => void) =>
        byId(id).addEventListener('change', ({ target }) => {
            const { dataset, value } = target as HTMLInputElement;
            if (dataset.more !== undefined) hear({ [dataset.more]: value.trim() });
            sheet.show();
        });
    told('conditions', (change) =>
        sheet.writeVisit({ conditions: { ...sheet.visit.conditions, ...change } }),
    );
    told('more', (typed) => sheet.write(sheet.row, { typed }));
    pressed('phase', (phase) => sheet.go({ phase: phase as Phase }));
    pressed('corner', (corner) => sheet.go({ corner: corner as CornerName }));
    pressed('repeat', (repeat) => sheet.go({ repeat: Number(repeat), field: 'camber_deg' }));
    pressed('fields', (field) => {
        if (field === 'plate') byId('plate').hidden = !byId('plate').hidden;
        sheet.go(field === 'plate' ? {} : { field: field as TypedColumn });
    });
    pressed('keypad', (name) => sheet.key(name));
    clicked('open', () => panel(byId('visit').hidden === true));
    clicked('save', () => (book.served ? sheet.send() : void sheet.save()));
    clicked('file', () => void sheet.save());
    clicked('print', () => print());
    clicked('forget', () => {
        byId('sure').hidden = false;
    });
    clicked('keep', () => {
        byId('sure').hidden = true;
    });
    clicked('drop', () => {
        byId('sure').hidden = true;
        void sheet.forget();
    });
    byId('doubt').addEventListener('click', ({ target }) => {
        const { mend, column } = (target as HTMLElement).dataset;
        if (mend === undefined) return;
        sheet.write(sheet.row, { typed: { [column as TypedColumn]: mend } });
        sheet.show();
    });
    const keys: Record<string, string> = {
        '-': 'sign',
        ',': '.',
        Backspace: 'back',
        Enter: 'next',
        '=': 'same',
    };
    addEventListener('keydown', (event) => {
        if ((event.target as HTMLElement).closest('select, input, a') || event.ctrlKey || event.metaKey)
            return;
        const onButton = (event.target as HTMLElement).closest('button') !== null;
        const name = keys[event.key] ?? event.key;
        if (!/^(\d|\.|sign|back|next|same)$/.test(name) || (onButton && event.key === 'Enter')) return;
        event.preventDefault();
        sheet.key(name);
    });
    sheet.keep.onChange(() => void sheet.refresh());
    // Pages of files do not hear each other.
    setInterval(() => {
        if (document.visibilityState === 'visible') void sheet.refresh();
    }, 3000);
    addEventListener('visibilitychange', () => {
        if (document.visibilityState === 'visible') void sheet.refresh();
    });
}

const keptWords = {
    database: '',
    storage: '',
    nowhere: `This device keeps nothing of this page: what is typed is gone when it is closed. Save before that, or open the sheet from the computer of the workshop (${book.program} serve --lan).`,
} as const;

async function start(): Promise<void> {
    fillChoices();
    const keep = await openKeep(book.book, book.sheet);
    byId('kept').textContent = keptWords[keep.kept];
    byId('kept').hidden = keep.kept !== 'nowhere';
    const sheet = new Sheet(keep, await keep.visits(), await keep.rows());
    listen(sheet);
    sheet.show();
    document.body.dataset.ready = keep.kept;
}

void start();

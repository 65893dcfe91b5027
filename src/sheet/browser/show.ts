import { answerOf } from '../answer.js';
import { type Book, corners, fronts, phaseNames, phases } from '../book.js';
import { doubtsOf, repeatsOf } from '../doubts.js';
import { isReading } from '../record.js';
import { byId, choices, element, option } from './dom.js';
import { normal } from './normal.js';
import { paperOf } from './paper.js';
import type { Sheet, View } from './sheet.js';
import { answerLines, columnWords, isBlank, missingWords } from './words.js';

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
    byId('save').textContent = `${sheet.book.served ? 'Send' : 'Save'}${unsaved === 0 ? '' : ` ${unsaved}`}`;
    byId<HTMLButtonElement>('save').disabled =
        unsaved === 0 && (sheet.book.served || sheet.rows.length === 0);
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
    const { rows, missing } = answerOf(normal, sheet.book, sheet.states, question);
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
    const repeats = repeatsOf(sheet.book, visit, sheet.repeats).map(
        ({ angle, count, mean_deg, sd_deg, own_sd_deg }) =>
            `${angle} mean ${mean_deg.toFixed(3)} of ${count}, spread ${sd_deg.toFixed(3)} (gauge ${own_sd_deg.toFixed(3)})`,
    );
    byId('repeats').textContent = repeats.join('; ').replaceAll('-', '−');
}

function doubtsNow(sheet: Sheet) {
    const { row, place } = sheet;
    const doubts = doubtsOf(sheet.book, sheet.visit, sheet.states, sheet.rows, row);
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
export function fillChoices(book: Book): void {
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

/** Whether this device keeps what is typed; '' says nothing. */
export function showKept(text: string): void {
    byId('kept').textContent = text;
    byId('kept').hidden = text === '';
}

export const view: View = {
    all(sheet) {
        showBar(sheet);
        showFields(sheet);
        showAnswer(sheet);
        showDoubt(sheet);
        showEarlier(sheet);
        const { book, visit, rows, states } = sheet;
        byId('paper').replaceChildren(paperOf(book, visit, rows, states));
    },
    // The search over the marks of two plates would be felt at every key.
    typed(sheet) {
        showFields(sheet);
        showDoubt(sheet);
    },
    notKept(error) {
        showKept(`This device did not keep the last number (${error}). Save now.`);
    },
};

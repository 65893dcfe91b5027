import { shortCaution } from '../../report/cautions.js';
import { type Book, corners, phaseNames, phases, type State } from '../book.js';
import { inOrder, type Row, type TypedColumn, type Visit } from '../record.js';
import { element } from './dom.js';

/** Columns of the table on paper with their heads, in the order of the file. */
const heads: Record<string, string> = {
    corner: 'corner',
    measured_at: 'time',
    phase: 'state',
    repeat: 'repeat',
    kit: 'kit',
    plate_hand: 'hand',
    plate_index: 'index',
    mark_1: 'mark',
    mark_2: '2nd',
    camber_deg: 'camber',
    caster_deg: 'caster',
    toe_deg: 'toe',
    sai_deg: 'SAI',
    toe_reset: 'toe set',
};
const columns = Object.keys(heads);

const line = (cell: (column: string) => string) =>
    element('tr', {}, ...columns.map((column) => element('td', {}, cell(column))));

const field = (name: string, text: string) =>
    element('p', {}, element('span', {}, name), element('b', {}, text || '\u00a0'));

/** The visit as a sheet of paper: what was typed, and blanks to fill in. */
export function paperOf(
    book: Book,
    visit: Visit,
    rows: readonly Row[],
    states: readonly State[],
): HTMLElement {
    const typed = inOrder([visit], rows).map(({ row }) => row);
    const blanks = phaseNames.flatMap((phase) =>
        corners
            .filter((corner) => corner.startsWith('F') || phase !== 'moved')
            .map((corner) => ({ phase, corner })),
    );
    const lines = blanks.map(({ phase, corner }) => {
        const own = typed.find((row) => row.phase === phase && row.corner === corner && row.repeat === 1);
        const known = states.find((state) => state.corner === corner);
        const cells: Record<string, string> = {
            corner,
            phase: phases[phase],
            measured_at: own?.measured_at.slice(11) ?? '',
            repeat: '1',
            kit: own?.kit ?? known?.kit ?? '',
            plate_hand: own?.plate_hand || (known?.plate_hand ?? ''),
        };
        return line((column) => cells[column] ?? own?.typed[column as TypedColumn] ?? '');
    });
    const more = Array.from({ length: 2 }, () => line(() => '\u00a0'));
    return element(
        'div',
        {},
        element(
            'div',
            { class: 'head' },
            field('vehicle', visit.vehicle),
            field('chassis', visit.chassis),
            field('day', typed.length === 0 ? '' : visit.started_at.slice(0, 10)),
            field('visit', typed.length === 0 ? '' : visit.id),
            field('kind', typed.length === 0 ? '' : visit.visit_kind),
            field('session', visit.session),
        ),
        element(
            'table',
            {},
            element(
                'thead',
                {},
                element(
                    'tr',
                    {},
                    ...columns.map((column) => element('th', { scope: 'col' }, heads[column]!)),
                ),
            ),
            element('tbody', {}, ...lines, ...more),
        ),
        element(
            'div',
            { class: 'head' },
            field('gauge', visit.gauge),
            field('technician', visit.technician),
            field('target', visit.target),
            field('note', ''),
        ),
        element(
            'p',
            { class: 'fine' },
            `Degrees. Camber: top outboard is positive; caster: top rearward; toe per wheel: toe-in. Blank = not measured. From ${book.made}. ${shortCaution}`,
        ),
    );
}

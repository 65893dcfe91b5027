import { shortCaution } from '../../report/cautions.js';
import { type Book, phaseNames, phases, type State } from '../book.js';
import { inOrder, type Row, type TypedColumn, type Visit } from '../record.js';
import { element } from './dom.js';

/** Columns of the table on paper, in the order of the file. */
const columns: { name: string; head: string }[] = [
    { name: 'corner', head: 'corner' },
    { name: 'measured_at', head: 'time' },
    { name: 'phase', head: 'state' },
    { name: 'repeat', head: 'repeat' },
    { name: 'kit', head: 'kit' },
    { name: 'plate_hand', head: 'hand' },
    { name: 'plate_index', head: 'index' },
    { name: 'mark_1', head: 'mark' },
    { name: 'mark_2', head: '2nd' },
    { name: 'camber_deg', head: 'camber' },
    { name: 'caster_deg', head: 'caster' },
    { name: 'toe_deg', head: 'toe' },
    { name: 'sai_deg', head: 'SAI' },
    { name: 'toe_reset', head: 'toe set' },
];

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
        (['FL', 'FR', 'RL', 'RR'] as const)
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
        const cell = (name: string) => cells[name] ?? own?.typed[name as TypedColumn] ?? '';
        return element('tr', {}, ...columns.map(({ name }) => element('td', {}, cell(name))));
    });
    const more = Array.from({ length: 2 }, () =>
        element('tr', {}, ...columns.map(() => element('td', {}, '\u00a0'))),
    );
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
                element('tr', {}, ...columns.map(({ head }) => element('th', { scope: 'col' }, head))),
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

import { type CornerName, corners, type Phase, phaseNames } from './book.js';

/** Numbers and words of a whole visit, folded away. */
export const conditionColumns = {
    driver_aboard: 'driver aboard',
    fuel_l: 'fuel, l',
    place: 'place',
    caster_method: 'caster read by',
    caster_sweep_deg: 'sweep either way, deg',
} as const;
export type ConditionColumn = keyof typeof conditionColumns;

/** The same of one reading. */
export const moreColumns = {
    offset_out_mm: 'bearing outboard, mm',
    offset_aft_mm: 'bearing rearward, mm',
    ride_height_mm: 'ride height, mm',
    tyre_kpa: 'tyre, kPa',
    rolled: 'rolled since lifted',
    bolts_tight: 'bolts tight',
    remounted: 'clamps put on anew',
    toe_reset: 'tie rods turned',
    note: 'note',
} as const;
export type MoreColumn = keyof typeof moreColumns;

/** One visit as it is typed. Its `id` is the name of the visit in the contract. */
export interface Visit {
    id: string;
    vehicle: string;
    chassis: string;
    visit_kind: 'install' | 'adjust' | 'check' | 'session';
    session: string;
    target: string;
    gauge: string;
    technician: string;
    /** Local wall time, ISO 8601 without a zone. */
    started_at: string;
    /** Under which conditions; records of older sheets have none. */
    conditions?: Partial<Record<ConditionColumn, string>>;
}

/** Columns that are typed on the keypad, as text: a number may be half typed. */
export const typedColumns = [
    'camber_deg',
    'caster_deg',
    'toe_deg',
    'sai_deg',
    'plate_index',
    'mark_1',
    'mark_2',
] as const;
export type TypedColumn = (typeof typedColumns)[number];

/** Columns of numbers that a sheet takes. */
export const numberColumns = [
    ...typedColumns,
    'offset_out_mm',
    'offset_aft_mm',
    'ride_height_mm',
    'tyre_kpa',
    'fuel_l',
    'caster_sweep_deg',
] as const;
const isNumber = (column: string) => (numberColumns as readonly string[]).includes(column);

/** One reading of a corner in a state. */
export interface Row {
    visit: string;
    corner: CornerName;
    phase: Phase;
    repeat: number;
    /** Local wall time of the first key. */
    measured_at: string;
    kit: string;
    plate_hand: '' | 'left' | 'right';
    gauge: string;
    technician: string;
    typed: Partial<Record<TypedColumn | MoreColumn, string>>;
    /** What a server has taken in of it, see `cellsOf`; '' = nothing. */
    taken: string;
    /** Whether it is in a file that was saved. */
    saved: string;
}

/** The number that a text holds; null where it is blank or not whole yet. */
export function numberOf(text: string | undefined): number | null {
    return text !== undefined && /^-?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) + 0 : null;
}

export const measuredColumns = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;

/** Whether the row holds an angle, without which it is no reading. */
export const isReading = ({ typed }: Row): boolean =>
    measuredColumns.some((column) => numberOf(typed[column]) !== null);

/** Of one reading: what a file of readings holds of it, by column; blank columns left out. */
export function cellsOf(visit: Visit, row: Row): Record<string, string> {
    const cells: Record<string, string> = {
        vehicle: visit.vehicle,
        chassis: visit.chassis,
        corner: row.corner,
        measured_at: row.measured_at,
        visit: visit.id,
        visit_kind: visit.visit_kind,
        phase: row.phase,
        repeat: String(row.repeat),
        session: visit.visit_kind === 'session' ? visit.session : '',
        kit: row.kit,
        plate_hand: row.kit === '' ? '' : row.plate_hand,
        gauge: row.gauge,
        technician: row.technician,
        target: row.phase === 'after' ? visit.target : '',
    };
    const { caster_method, caster_sweep_deg = '', ...conditions } = visit.conditions ?? {};
    const sweep = caster_method === 'direct' ? '' : caster_sweep_deg;
    const caster = numberOf(row.typed.caster_deg) === null ? {} : { caster_method, caster_sweep_deg: sweep };
    for (const [column, text = ''] of Object.entries({ ...conditions, ...caster, ...row.typed })) {
        const value = isNumber(column) ? numberOf(text) : text.trim();
        if (value !== null) cells[column] = String(value);
    }
    return Object.fromEntries(Object.entries(cells).filter(([, text]) => text !== ''));
}

const quoted = (text: string) => (/[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

const place = ({ repeat, phase, corner }: Row) =>
    `${phaseNames.indexOf(phase)}${corners.indexOf(corner)}${String(repeat).padStart(4, '0')}`;

/** Rows in the order of a file: visits as they began, states, corners, repeats. */
export function inOrder(visits: readonly Visit[], rows: readonly Row[]): { visit: Visit; row: Row }[] {
    return [...visits]
        .sort((a, b) =>
            a.started_at < b.started_at ? -1 : a.started_at > b.started_at ? 1 : a.id < b.id ? -1 : 1,
        )
        .flatMap((visit) =>
            rows
                .filter((row) => row.visit === visit.id && isReading(row))
                .sort((a, b) => (place(a) < place(b) ? -1 : 1))
                .map((row) => ({ visit, row })),
        );
}

/** The readings as a file that `load` takes, `order` its columns. */
export function csvOf(order: readonly string[], visits: readonly Visit[], rows: readonly Row[]): string {
    const lines = inOrder(visits, rows).map(({ visit, row }) => {
        const cells = cellsOf(visit, row);
        return order.map((column) => quoted(cells[column] ?? '')).join(',');
    });
    return `${[order.join(','), ...lines].join('\n')}\n`;
}

import { programName } from '../errors/programName.js';
import { probabilityWords } from '../units/probabilityWords.js';
import { signed } from '../units/signed.js';
import type { AdvisedRow } from './advisedRow.js';

type Unit = 'deg' | 'mm';

function side(row: AdvisedRow): string {
    return row.corner === 'FL' ? 'left' : 'right';
}

function amount(
    row: AdvisedRow,
    quantity: 'toe_change' | 'toe_between' | 'toe_put_back',
    unit: Unit = 'deg',
): string {
    const digits = unit === 'deg' ? 2 : 1;
    const cells = row as unknown as Record<string, number>;
    const value = (part: string) => signed(cells[`${quantity}${part}_${unit}`]!, digits);
    return `${side(row)} ${value('')} (${value('_low')} to ${value('_high')})`;
}

function total(value: number | null, unit: Unit): string {
    return value === null ? '' : `, ${signed(value, unit === 'deg' ? 2 : 1)} in total`;
}

function unknownToe({ chassis, toe_basis }: AdvisedRow): string {
    if (toe_basis === 'flagged') {
        return `Which way toe goes when the plates move is not known: the slopes of ${chassis ?? 'this chassis'} are implausible (${programName()} slopes says why). Read toe between moving the plates and turning the tie rods, and set it last.`;
    }
    return `Which way toe goes when the plates move is not known of ${chassis ?? 'this chassis'}: no visit reads toe between moving the plates and turning the tie rods. Read it then, and set it last.`;
}

function changeWords(rows: readonly AdvisedRow[]): string {
    if (rows.every((row) => row.stay)) return 'toe does not change';
    const changes = rows.map((row) => amount(row, 'toe_change')).join(', ');
    return `with the tie rods untouched toe changes by ${changes} deg${total(rows[0]!.toe_total_change_deg, 'deg')}`;
}

/** What to do at the tie rods: which way a turn goes depends on where the rod lies, and on its thread. */
function inTurns(rows: readonly AdvisedRow[]): string {
    if (rows[0]!.toe_put_back_turns === null) return '';
    const turns = rows.map((row) => `${side(row)} ${signed(row.toe_put_back_turns!, 2)}`).join(', ');
    return `; in turns of the tie rod ${turns} (positive = towards toe-in: a longer rod behind the axle, a shorter one ahead of it)`;
}

/** What must hold before tie rods are turned. */
const TURNING =
    'Before turning the tie rods: steering wheel centred and locked; after it, at least as much thread engaged at each rod end as the vehicle maker asks for, and the jam nuts as its manual says.';

function putBackWords(rows: readonly AdvisedRow[]): string {
    const first = rows[0]!;
    const known = first.target_toe_deg !== null && rows.every((row) => row.present_toe_deg !== null);
    const goal = known
        ? `to reach ${signed(first.target_toe_deg!, 2)} deg per wheel`
        : 'to come back to the present toe';
    const back = rows.map((row) => amount(row, 'toe_put_back')).join(', ');
    const inMm =
        first.toe_put_back_mm === null
            ? ''
            : `; at the diameter given that is ${rows.map((row) => amount(row, 'toe_put_back', 'mm')).join(', ')} mm${total(first.toe_total_put_back_mm, 'mm')}`;
    return `${goal} put back ${back} deg${total(first.toe_total_put_back_deg, 'deg')}${inMm}${inTurns(rows)}`;
}

/** Toe at one target: change with the tie rods untouched, and what to put back. */
export function toeNotes(rows: readonly AdvisedRow[]): string[] {
    if (rows[0]!.toe_basis !== 'own' && !rows.every((row) => row.stay)) return [unknownToe(rows[0]!)];
    const open = rows.some((row) => row.target_toe_deg !== null && row.present_toe_deg !== null);
    if (rows.every((row) => row.stay) && !open) return [];
    return [
        `${rows[0]!.target}: ${changeWords(rows)}; ${putBackWords(rows)}. Toe-in counts positive; set toe last.`,
        ...(rows[0]!.toe_put_back_turns === null ? [] : [TURNING]),
    ];
}

function oneToeNote(first: readonly AdvisedRow[], second: readonly AdvisedRow[]): string {
    const [from, to] = [first[0]!.target, second[0]!.target];
    if (second.some((row) => row.p_one_toe === null)) {
        return `Whether one toe setting serves both cannot be told: ${from} and ${to} must both give toe and its tolerance.`;
    }
    const settings = second.map((row) => `${side(row)} ${signed(row.one_toe_deg!, 2)} deg`).join(' and ');
    const p = Math.min(...second.map((row) => row.p_one_toe!));
    const chance = `within tolerance at ${to} with a probability ${probabilityWords(p)}`;
    if (p >= 0.9)
        return `One toe setting serves both: ${settings}, set at ${from}, ${chance} on the less sure side.`;
    if (p > 0.1)
        return `One toe setting may serve both: ${settings}, set at ${from}, ${chance} on the less sure side.`;
    return `One toe setting does not serve both: the best, ${settings} set at ${from}, is ${chance} on the less sure side. Set toe again at each change.`;
}

/** Toe between the first target and another one. */
export function toeBetweenNotes(first: readonly AdvisedRow[], second: readonly AdvisedRow[]): string[] {
    const row = second[0]!;
    if (row.toe_basis !== 'own') return [];
    const changes = second.map((one) => amount(one, 'toe_between')).join(', ');
    return [
        `From ${first[0]!.target} to ${row.target} toe changes by ${changes} deg${total(row.toe_total_between_deg, 'deg')}, tie rods untouched.`,
        oneToeNote(first, second),
    ];
}

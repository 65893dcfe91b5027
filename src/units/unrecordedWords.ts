import { type CauseName, causeNamed } from '../stats/drift/causes/index.js';
import { directionWords } from './directionWords.js';
import { type Slip, slipWords } from './driftWords.js';
import { plain } from './plain.js';

/** What the words below need of a row of `unrecorded_changes`. */
interface Unrecorded extends Slip {
    p_cause: number | null;
    set_again_on: string | null;
    disturbance: 'transport' | 'adjustment';
    before_visit: string;
    /** What the pointers say was set. */
    set_out_mm: number | null;
    set_aft_mm: number | null;
    verdict: 'put_right' | 'plate_moved' | 'bent' | 'other' | 'unclear';
    cause: CauseName;
    next_cause: CauseName;
}

/** Whether something is still to be done: it was not put right, and nothing has set the corner since. */
export const isStillOpen = ({ verdict, set_again_on }: Unrecorded) =>
    verdict !== 'put_right' && set_again_on === null;

/** `the pointers say 3.0 mm outboard`, of an adjustment. */
function pointersSay({ set_out_mm: out, set_aft_mm: aft }: Unrecorded): string {
    if (out === null || aft === null) return 'the pointers stand as before';
    return `the pointers say ${plain(Math.hypot(out, aft), 1)} mm ${directionWords(out, aft)}`;
}

function movedWords(row: Unrecorded): string {
    const by = slipWords(row);
    return row.disturbance === 'transport'
        ? `the bearing moved ${by} though nothing ran: it was set without a record, or slipped. Read its pointer, and inspect the clamp unless it was set`
        : `${pointersSay(row)}, the angles ${by} besides: marks were misread or mistyped, or the bearing moved while it was set. Read pointer and angles again`;
}

function causeWords({ cause }: Unrecorded): string {
    const { words, stop, ofMeasuring } = causeNamed(cause);
    if (ofMeasuring) return words;
    return `${words}, or a repair that was not recorded. ${
        stop ? 'Do not run it until it has been inspected, unless that was done' : 'Look what was done to it'
    }`;
}

/** What happened to the corner, in words without a full stop. */
export function unrecordedWords(row: Unrecorded): string {
    if (row.verdict === 'put_right')
        return `stands again as before ${row.before_visit}: put right, or measured right again, without a record`;
    const how = row.disturbance === 'transport' ? 'though nothing ran' : 'while it was set';
    const closed = row.set_again_on === null ? '' : `; closed by the setting of ${row.set_again_on}`;
    if (row.verdict === 'plate_moved') return `${movedWords(row)}${closed}`;
    if (row.verdict === 'unclear') {
        const [first, second] = [causeNamed(row.cause), causeNamed(row.next_cause)];
        return `moved ${how}, cannot tell how: ${first.words} (${row.p_cause!.toFixed(2)}), or ${second.words}. Read it again${closed}`;
    }
    return `moved ${how}: ${causeWords(row)}${closed}`;
}

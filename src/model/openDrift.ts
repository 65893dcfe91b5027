import type { DriftRow, UnrecordedRow } from '../contracts/results/drift.js';
import { counted } from '../errors/words.js';

type Found = Pick<DriftRow, 'vehicle' | 'corner' | 'measured_ts' | 'is_open'>;

const newestFirst = (a: Found, b: Found) =>
    (b.measured_ts ?? '').localeCompare(a.measured_ts ?? '') ||
    a.vehicle.localeCompare(b.vehicle) ||
    a.corner.localeCompare(b.corner);

/** What is still open before what is not, the newest first. */
export function openFirst<F extends Found>(rows: readonly F[]): F[] {
    return [...rows].sort((a, b) => Number(b.is_open) - Number(a.is_open) || newestFirst(a, b));
}

/** What is still open, as a sentence. */
export function openNote(rows: readonly DriftRow[], unrecorded: readonly UnrecordedRow[]): string {
    const open = openFirst<Found>([...rows, ...unrecorded].filter(({ is_open }) => is_open));
    const [newest] = open;
    if (newest === undefined)
        return 'Nothing is open: nothing is known to have moved that was not set again since.';
    const when = newest.measured_ts === null ? '' : ` of ${newest.measured_ts.slice(0, 10)}`;
    return `${counted(open.length, 'finding')} ${open.length === 1 ? 'is' : 'are'} open, the newest ${newest.vehicle} ${newest.corner}${when}; what a later setting has closed comes after.`;
}

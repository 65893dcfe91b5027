import { counted, fixed, listed } from '../../src/report/format.js';
import { cornerName } from '../../src/units/cornerName.js';
import { probabilityWords } from '../../src/units/probabilityWords.js';
import { bestWay, type Rows, subjectWords, type Way } from './rows.js';

const nothing = 'No plate to clock: no kit, target or reading tells where one would have to go.';

/** Which plate goes where, as one sentence. */
export function headline(rows: Rows): string {
    if (rows.ways.length === 0) return nothing;
    const best = bestWay(rows);
    const first = best[0]!;
    const sides = best.filter((row) => row.target === first.target);
    const same = new Set(sides.map((row) => row.plate_index)).size === 1;
    const index = (row: Way) => (same ? '' : ` in index ${row.plate_index}`);
    const plates = sides.map(
        (row) => `${row.plate_hand} plate ${cornerName(row.corner).replace('front ', '')}${index(row)}`,
    );
    const both = same ? `, ${sides.length > 1 ? 'both ' : ''}in index ${first.plate_index}` : '';
    return `${first.kit} on ${subjectWords(rows)}: ${plates.join(', ')}${both}`;
}

interface Limit {
    angle: string;
    tol: number;
    sd: number;
    /** Standard deviations from what is expected to the nearer limit. */
    room: number;
}

function limitsOf(row: Way): Limit[] {
    const one = (
        angle: string,
        deg: number | null,
        target: number | null,
        tol: number | null,
        sd: number | null,
    ): Limit[] =>
        deg === null || target === null || tol === null || sd === null || sd === 0
            ? []
            : [{ angle, tol, sd, room: (tol - Math.abs(deg - target)) / sd }];
    return [
        ...one('camber', row.camber_deg, row.target_camber_deg, row.camber_tol_deg, row.camber_sd_deg),
        ...one('caster', row.caster_deg, row.target_caster_deg, row.caster_tol_deg, row.caster_sd_deg),
    ];
}

/** The chance of the whole way, and the limit that costs most of it. */
function chance(rows: Rows): string {
    const best = bestWay(rows);
    const [worst] = best
        .flatMap((row) => limitsOf(row).map((limit) => ({ row, ...limit })))
        .sort((a, b) => a.room - b.room);
    const whole = best[0]!.p_all;
    const all =
        whole === null
            ? ''
            : `Set without reading again, all ${counted(best.length, 'setting')} hit with a probability ${probabilityWords(whole)}`;
    if (worst === undefined) return all === '' ? 'No chance can be told.' : `${all}.`;
    const limit = `${worst.angle} of ${worst.row.target} costs most: ± ${fixed(worst.tol, 2)}° against a standard deviation of ${fixed(worst.sd, 2)}°${worst.row.vehicle === '' ? ' from car to car' : ''}`;
    return all === '' ? `${limit}.` : `${all}; ${limit}. Read, then set.`;
}

/** What it reaches, how sure that is, and what else there is. */
export function answer(rows: Rows): string[] {
    if (rows.ways.length === 0) return [];
    const best = bestWay(rows);
    const targets = listed([...new Set(best.map((row) => row.target))]);
    const ranks = new Set(rows.ways.map((row) => row.rank));
    const missing = new Set(rows.ways.filter((row) => !row.reachable).map((row) => row.rank));
    const reached = best.every((row) => row.reachable)
        ? `It reaches ${targets}`
        : `It comes nearest to ${targets}, but does not reach all of it`;
    return [
        `${reached}; ${ranks.size - missing.size} of ${counted(ranks.size, 'way')} to clock the pair ${ranks.size - missing.size === 1 ? 'reaches' : 'reach'} every target.`,
        chance(rows),
    ];
}

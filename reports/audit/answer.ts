import { counted, fixed, percent } from '../../src/report/format.js';
import { type Rows, whole } from './rows.js';
import { angle } from './words.js';

const shares: readonly [number, string][] = [
    [1 / 4, 'A quarter'],
    [1 / 3, 'A third'],
    [1 / 2, 'Half'],
    [2 / 3, 'Two thirds'],
    [3 / 4, 'Three quarters'],
];

/** A share as the fraction that it is near to, else in per cent. */
function shareWords(share: number): string {
    return shares.find(([near]) => Math.abs(share - near) < 0.015)?.[1] ?? percent(share);
}

const clauses: Record<string, string> = {
    'end of the scale': 'sit at the end of the scale',
    'toe not set again': 'come of toe that was not set again',
    'mistake of writing': 'look like mistakes of writing',
    'another index would do': 'another index would have met',
    'no index would do': 'no index would have met',
    'within reach': 'lay within reach',
};

/** The commonest cause of misses that can be told. */
function mainCause({ causes }: Rows): string {
    const [main] = causes
        .filter(({ cause }) => clauses[cause] !== undefined)
        .sort((a, b) => b.setting_count - a.setting_count);
    if (main === undefined) return '';
    const misses = counted(
        main.setting_count,
        `${angle[main.response]} miss`,
        `${angle[main.response]} misses`,
    );
    const clause = clauses[main.cause]!;
    return `; ${misses} ${main.setting_count === 1 ? clause.replace(/^(sit|come|look)/, '$1s') : clause}`;
}

/** How many hit, and what keeps most of the others from it. */
export function headline(rows: Rows): string {
    const all = whole(rows, 'all');
    if (all === undefined || all.hit_share === null) return 'There is no setting to judge yet';
    const which =
        all.count === 1 ? 'The one visit' : `${shareWords(all.hit_share)} of ${counted(all.count, 'visit')}`;
    return all.count === 1
        ? `${which} ${all.hit_count === 1 ? 'hit' : 'missed'}${mainCause(rows)}`
        : `${which} hit${mainCause(rows)}`;
}

function time({ months }: Rows): string {
    if (months.length < 3) return '';
    const beyond = months.filter((row) => row.state === 'beyond the limits').map((row) => row.month);
    return beyond.length === 0
        ? ` No month of ${months.length} stands out.`
        : ` ${beyond.length === 1 ? `${beyond[0]} stands` : `${beyond.length} of ${months.length} months stand`} out.`;
}

/** How sure that is, how far the work spreads, and who should come back. */
export function answer(rows: Rows): string[] {
    const all = whole(rows, 'all');
    if (all === undefined) return [];
    const [worst] = (['camber_deg', 'caster_deg', 'toe_deg'] as const)
        .flatMap((response) => whole(rows, response) ?? [])
        .filter((row) => row.cpk !== null)
        .sort((a, b) => a.cpk! - b.cpk!);
    const car = rows.cars[0];
    return [
        `${all.hit_count} of ${counted(all.count, 'visit')} hit every angle as read, ${percent(all.hit_share)} (${percent(all.conf_low)} to ${percent(all.conf_high)}); ${all.in_count} are in and ${all.out_count} out for sure, ${all.undecided_count} too near to a limit to tell.${time(rows)}`,
        ...(worst === undefined
            ? []
            : [
                  `The least capable angle is ${angle[worst.response]}: Cpk ${fixed(worst.cpk, 2)} (${fixed(worst.cpk_conf_low, 2)} to ${fixed(worst.cpk_conf_high, 2)}) from ${counted(worst.count, 'setting')}.`,
              ]),
        car === undefined
            ? 'No car has to come back: the newest setting of each is likelier inside than not.'
            : `${counted(car.car_count, 'car')} should come back, first ${car.vehicle}: ${angle[car.response]} off by ${fixed(car.error_deg, 2)}°, ± ${fixed(car.tol_deg, 2)}° allowed.`,
    ];
}

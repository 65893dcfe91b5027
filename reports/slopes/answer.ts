import { counted, fixed, listed, whole } from '../../src/report/format.js';
import { panels, type Rows, type Slope, samePanel } from './rows.js';

/** Plausible own slopes along `panel` whose sign is sure, smallest first. */
function known({ slopes }: Rows, panel: number): Slope[] {
    return slopes
        .filter(
            (row) =>
                samePanel(panels[panel]!)(row) &&
                row.flag === null &&
                row.conf_low_deg_per_mm !== null &&
                row.conf_low_deg_per_mm * row.conf_high_deg_per_mm! > 0,
        )
        .sort((a, b) => a.estimate_deg_per_mm! - b.estimate_deg_per_mm!);
}

function range(rows: readonly Slope[]): string {
    const [least, most] = [rows[0]!, rows.at(-1)!].map((row) => fixed(row.estimate_deg_per_mm, 2));
    return least === most ? `${least}°` : `${least}° to ${most}°`;
}

/** What a millimetre is worth over the chassis. */
export function headline(rows: Rows): string {
    const camber = known(rows, 0);
    if (rows.totals[0]!.move_count === 0)
        return 'No move yet: what a millimetre is worth comes from geometry alone';
    if (camber.length === 0) return 'No chassis has a camber slope of its own yet';
    if (camber.length === 1)
        return `One millimetre outboard is worth ${fixed(camber[0]!.estimate_deg_per_mm, 3)}° of camber on ${camber[0]!.chassis}`;
    return `One millimetre outboard is worth ${range(camber)} of camber, by chassis`;
}

function toe(rows: Rows): string[] {
    const sure = known(rows, 2);
    if (sure.length === 0) return [];
    const names = (sign: number) =>
        sure.filter((row) => row.estimate_deg_per_mm! * sign > 0).map(({ chassis }) => chassis);
    const parts = [
        ...(names(-1).length === 0 ? [] : [`towards toe-out on ${listed(names(-1).slice(0, 6))}`]),
        ...(names(1).length === 0 ? [] : [`towards toe-in on ${listed(names(1).slice(0, 6))}`]),
    ];
    return [`Toe follows outboard ${parts.join(', ')}: set it last.`];
}

/** What it rests on, the other angles, and what was set apart. */
export function answer(rows: Rows): string[] {
    const { move_count, vehicle_count, moved_chassis_count, downweighted_count, change_count } =
        rows.totals[0]!;
    if (move_count === 0) return [];
    const caster = known(rows, 1);
    const apart =
        downweighted_count === 0
            ? ''
            : `; ${whole(downweighted_count)} of ${counted(change_count, 'angle change')} (${fixed((100 * downweighted_count) / change_count, 1)} %) lie far off and count for less`;
    return [
        `From ${counted(move_count, 'move')} of ${counted(vehicle_count, 'car')} on ${counted(moved_chassis_count, 'chassis', 'chassis')}${apart}.`,
        ...(caster.length === 0 ? [] : [`One millimetre rearward is worth ${range(caster)} of caster.`]),
        ...toe(rows),
    ];
}

import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, fixed, listed, whole } from '../../src/report/format.js';
import { equalToeWords } from '../../src/units/equalToeWords.js';
import { chassisOf, panels, type Rows, type Slope, samePanel } from './rows.js';
import { angle, direction, slopeName } from './words.js';

/** Chassis with pictures of their own. */
export const drawnCount = 12;

function basis(row: Slope): string {
    return `${counted(row.move_count, 'move')} of ${counted(row.vehicle_count, 'car')}`;
}

/** Which way toe goes, where the interval leaves no doubt. */
function toeWay({ response, conf_low_deg_per_mm: low, conf_high_deg_per_mm: high }: Slope): string {
    if (response !== 'toe_deg') return '';
    if (low === null || high === null || low * high <= 0) return ' per wheel, either way';
    return ` per wheel, towards toe-${low < 0 ? 'out' : 'in'}`;
}

function ownSentence(row: Slope, previous: Slope | undefined): string {
    const same = previous !== undefined && basis(previous) === basis(row);
    const interval =
        row.conf_low_deg_per_mm === null
            ? `no interval: ${row.reason}`
            : `95 % interval ${fixed(row.conf_low_deg_per_mm, 3)} to ${fixed(row.conf_high_deg_per_mm, 3)}`;
    const brackets = same ? interval : `${interval}, ${basis(row)}`;
    return `One millimetre ${direction[row.axis]} is worth ${fixed(row.estimate_deg_per_mm, 3)}° of ${angle[row.response]}${toeWay(row)} (${brackets}).`;
}

function suggestion(row: Slope): string {
    const reach = 1.96 * row.shrunk_std_error_deg_per_mm!;
    const [low, high] = [row.shrunk_deg_per_mm! - reach, row.shrunk_deg_per_mm! + reach];
    return `${fixed(row.shrunk_deg_per_mm, 3)}° of ${slopeName(row)} (${fixed(low, 3)} to ${fixed(high, 3)})`;
}

function missingSentences(rows: readonly Slope[]): string[] {
    const suggested = rows
        .filter((row) => row.shrunk_deg_per_mm !== null && row.response !== 'toe_deg')
        .map(suggestion);
    return [
        ...[...new Set(rows.map((row) => row.reason))].map((reason) => {
            const names = rows.filter((row) => row.reason === reason).map(slopeName);
            return `No own slope of ${listed(names)}: ${reason}.`;
        }),
        ...(suggested.length === 0
            ? []
            : [`Geometry, with what other moves tell, suggests ${listed(suggested)}.`]),
    ];
}

function flagSentences(rows: readonly Slope[]): string[] {
    return [...new Set(rows.map((row) => row.flag).filter((flag) => flag !== null))].map((flag) => {
        const names = rows.filter((row) => row.flag === flag).map(slopeName);
        return `Implausible, do not use: ${listed(names)}: ${flag}.`;
    });
}

function ofChassis(rows: readonly Slope[]): string {
    const main = panels.map((key) => rows.find(samePanel(key))!);
    const own = main.filter((row) => row.estimate_deg_per_mm !== null);
    const missing = main.filter((row) => row.estimate_deg_per_mm === null);
    return [
        ...flagSentences(rows),
        ...own.map((row, index) => ownSentence(row, own[index - 1])),
        ...missingSentences(missing),
        ...equalToeWords(rows.find(samePanel(panels[0]!))!),
    ].join(' ');
}

function overview({ totals, slopes }: Rows): string {
    const total = totals[0]!;
    const installed = [...new Set(slopes.map((row) => row.chassis))].filter((chassis) =>
        slopes.some((row) => row.chassis === chassis && row.install_count > 0),
    );
    const installs =
        installed.length === 0
            ? ''
            : ` On ${listed(installed)} installs and changes of kit tell of the slopes too; they are not drawn, since what the kit itself adds is estimated beside the slopes.`;
    if (total.move_count === 0 && installed.length > 0) {
        return `No visit holds two readings of one corner with one kit at two known offsets.${installs}`;
    }
    if (total.move_count === 0) {
        return 'There is no move yet: no visit holds two readings of one corner with one kit at two known offsets. All values come from geometry.';
    }
    const camber = slopes
        .filter((row) => samePanel(panels[0]!)(row) && row.flag === null && row.conf_low_deg_per_mm !== null)
        .sort((a, b) => a.estimate_deg_per_mm! - b.estimate_deg_per_mm!);
    const [least, most] = [camber[0], camber.at(-1)];
    const leftOut = slopes.some((row) => samePanel(panels[0]!)(row) && row.flag !== null);
    const range =
        camber.length < 2
            ? ''
            : ` Camber per millimetre outboard runs from ${fixed(least!.estimate_deg_per_mm, 3)}° on ${least!.chassis} to ${fixed(most!.estimate_deg_per_mm, 3)}° on ${most!.chassis}${leftOut ? ', implausible slopes left out' : ''}.`;
    const all = counted(total.chassis_count, 'chassis', 'chassis');
    const onChassis =
        total.moved_chassis_count === total.chassis_count
            ? all
            : `${whole(total.moved_chassis_count)} of ${all}`;
    return `${counted(total.move_count, 'move')} of ${counted(total.vehicle_count, 'car')} on ${onChassis}.${range}${installs}`;
}

function setApart({ totals }: Rows): Finding[] {
    const { downweighted_count: down, change_count: all } = totals[0]!;
    if (down === 0) return [];
    const share = fixed((100 * down) / all, 1);
    return [
        {
            about: 'Set apart',
            text: `${whole(down)} of ${counted(all, 'angle change')} (${share} %) lie far from what their chassis does elsewhere and count for less than half. Crosses or triangles in the pictures; ${programName()} check lists them.`,
        },
    ];
}

function notDrawn(chassis: readonly string[]): Finding[] {
    const left = chassis.slice(drawnCount);
    if (left.length === 0) return [];
    return [
        {
            about: 'Not drawn',
            text: `Only the ${drawnCount} chassis with the most moves have pictures of their own; ${listed(left, 6)} stand in the table.`,
        },
    ];
}

/** What the page found, most general first. */
export function findings(rows: Rows): Finding[] {
    const chassis = chassisOf(rows.slopes);
    const sentences = chassis.slice(0, drawnCount).map((code) => ({
        about: code,
        text: ofChassis(rows.slopes.filter((row) => row.chassis === code)),
    }));
    return [
        { about: 'Overall', text: overview(rows) },
        ...sentences,
        ...setApart(rows),
        ...notDrawn(chassis),
    ];
}

/** Sentences about what `advise` is asked for instead of a target, and about settings to go back to. */

import { programName } from './programName.js';
import { at, listed, type Place, shellWord } from './words.js';

export const oneAim = () =>
    'Say what advise is to aim at, one of: --target NAME (once or twice), --change camber=-0.5, --equal, --most negative-camber, --back-to VISIT.';

export function unreadableChange(text: string): string {
    const toe = /toe/i.test(text) ? ' Toe is not set by the plates: advise says what to put back.' : '';
    return `--change ${text} cannot be read. Write ANGLE=DEGREES, or CORNER.ANGLE=DEGREES for one side: ANGLE camber (negative = top further inboard) or caster (positive = more), CORNER FL or FR, degrees from -6 to 6 with a decimal point, each angle of a corner once: --change camber=-0.5, --change FL.caster=0.3.${toe}`;
}

export const onlyWith = (option: string, aim: string) =>
    `${option} goes with ${aim} only. Leave it out, or ask with ${aim}.`;

export const unreadableAngles = (text: string) =>
    `--equal ${text} cannot be read. Write --equal for camber, --equal caster, or --equal camber,caster.`;

export const limitOrClass = () =>
    'A limit is told once: with --limit DEG, or by --class NAME, whose limits stand in the rules file. Leave one of them out.';

export const classNotForChassis = (name: string, chassis: string | null, known: readonly string[]) =>
    `Class "${name}" has rules for ${listed(known)} only, not for ${chassis ?? 'a chassis without a name'}. Add a row for it, or one with chassis blank, to the rules file and load that.`;

export const pitchWithoutArm = () =>
    'Turns of the tie rod need both --thread-pitch and --arm-length: one turn of a 1.5 mm thread is 0.78 deg at an arm of 110 mm and 0.66 deg at 130 mm. Measure the steering arm from the tie-rod end to the steering axis, and give both.';

export const angleNotRead = (corner: string, angle: string) =>
    `${corner}: ${angle} was not read where the bearing sits now, so nothing tells how far it is. Read it and load the reading, or tell it with --from.`;

export const otherSideUnknown = (corner: string) =>
    `${corner} has no reading where its bearing sits, so it cannot be asked about. Load a reading of it, or tell it with --from.`;

export function marginTooWide(
    {
        margin_marks,
        limit_deg,
        lose_deg,
    }: { margin_marks: number; limit_deg: number | null; lose_deg: number | null },
    kit: string,
): string {
    const given = [
        ...(margin_marks > 0 ? [`--margin ${margin_marks}`] : []),
        ...(limit_deg === null ? [] : [`the limit of ${limit_deg} deg`]),
        ...(lose_deg === null ? [] : [`--lose ${lose_deg}`]),
    ];
    return `No setting of kit "${kit}" keeps to ${given.join(' and ')} on both sides, the present one included. Ask with a wider one, or with --any-index.`;
}

export const nothingLeft = (vehicle: string) =>
    `${vehicle} has no install or adjust visit with an after of a front corner, so there is no setting to go back to. Load what was read after setting (an install or adjust visit, phase after).`;

export const noSettingOfVisit = (visit: string, vehicle: string, visits: readonly string[]) =>
    `"${visit}" is neither a visit that left a setting of ${vehicle} nor a day (YYYY-MM-DD). Visits, newest first: ${listed(visits)}. ${programName()} history --vehicle ${shellWord(vehicle)} shows them all.`;

export const noSettingBefore = (day: string, vehicle: string, visit: string, leftOn: string | null) =>
    `No setting of ${vehicle} was left on ${day} or before; the oldest is ${visit}${leftOn === null ? '' : ` of ${leftOn}`}. ${programName()} history --vehicle ${shellWord(vehicle)} shows them all.`;

export const backToOriginal = (visit: string, corner: string) =>
    `Visit ${visit} left ${corner} on its original mount, which has no marks. Fit it and read the angles; or name a visit that left a kit.`;

export const placeNotWrittenDown = (visit: string, corner: string, place: Place) =>
    `Visit ${visit} does not tell where the bearing of ${corner} sat${at(place)}: no bolt position, or neither marks nor offset. Write them into that row and load it again with --replace, or name another visit.`;

export const nothingToAskAbout = (vehicle: string) =>
    `No front corner of ${vehicle} that was left then has a reading now. Load one, and ask again.`;

export const noKitToCompare = (chassis: string) =>
    `No kit with ends of its scales is listed for ${chassis}, so there is nothing to compare. Load a kits file with the ends of the scales (columns mark_min and mark_max).`;

export const onlyWithout = (option: string, other: string) =>
    `${option} does not go with ${other}: ${other} lists every car by itself. Leave one of them out.`;

export const tableAndFile = () =>
    `Name a table and a file: ${programName()} export slopes --to slopes.csv. ${programName()} export --list shows the tables.`;

import { programName } from './programName.js';
/** Sentences about questions of settings (`advise`, `clocking`) that cannot be answered as asked. */

import { at, counted, type Place } from './words.js';

const listedFor = (what: string, known: readonly string[], chassis: string | null) =>
    `${what} is listed for ${known.join(', ')} only, not for ${chassis ?? 'a chassis without a name'}`;

const addRow = (file: string) =>
    `add a row for it, or one with chassis blank, to the ${file} file and load that.`;

const knownKits = (kits: readonly string[]) =>
    kits.length === 0 ? 'no kit is loaded' : `known: ${kits.join(', ')}`;

export const nothingAsked = (command: string, ways: string) => `Say which car ${command} is about: ${ways}.`;

export const targetCount = (command: string) =>
    `${command} takes one target or two: --target NAME [--target NAME]. Name different ones.`;

export const unreadableCorner = (text: string) =>
    `--from ${text} cannot be read. Write CORNER=CAMBER,CASTER[,OUT,AFT], degrees and millimetres with a decimal point, CORNER FL or FR, each once: --from FL=-0.8,6.4 --from FR=-0.9,6.3,2,-1`;

export const unreadableNumber = (option: string, text: string, range: string) =>
    `${option} ${text} is not a number that can be used here. Give ${range}.`;

export const otherSpelling = (vehicle: string, other: string, count: number) =>
    `Another name differs from "${vehicle}" only in letter case, Unicode form, spaces or dashes: "${other}" has ${counted(count, 'reading')}, which this answer does not look at. If both are one car, correct the rarer name and load its rows again.`;

/** `loadedOn`: day of the load, where the reading is younger than it. */
export function stateOfNoDay(
    vehicle: string,
    visit: string,
    readOn: string,
    loadedOn: string | null,
): string {
    const why = loadedOn !== null && readOn > loadedOn ? `, though they were loaded on ${loadedOn}` : '';
    return `The newest readings of "${vehicle}" (visit ${visit}) are dated ${readOn}${why}, so this may not be how the car stands. Correct measured_at, load the rows with --replace and ask again; ${programName()} check lists such dates.`;
}

export const noFrontReading = (vehicle: string) =>
    `${vehicle} has no reading of a front corner yet. Load one, or tell the angles with --from FL=CAMBER,CASTER --from FR=CAMBER,CASTER.`;

export const placementUnknown = (corner: string, reason: string, place: Place) =>
    `The newest reading of ${corner}${at(place)} does not tell where the bearing sits: ${reason.replace(/^(?=\w+_)/, 'column ')}. Mend the row and load it again with --replace, or tell angles and offset with --from.`;

export const noAngles = (corner: string, place: Place) =>
    `Neither camber nor caster of ${corner} was read where its bearing sits now${at(place)}. Read them, or tell them with --from.`;

export const noKitFitted = (vehicle: string, kits: readonly string[]) =>
    `${vehicle} stands on its original mounts, which cannot be set. Name the kit that is to go in with --kit (${knownKits(kits)}).`;

export const kitNeeded = (kits: readonly string[]) =>
    `Name the kit whose marks are asked for with --kit (${knownKits(kits)}).`;

export const kitNotForChassis = (kit: string, chassis: string | null, known: readonly string[]) =>
    `${listedFor(`Kit "${kit}"`, known, chassis)}. Name another kit with --kit or the chassis with --chassis, or ${addRow('kits')}`;

export const kitReachUnknown = (kit: string, place: Place) =>
    `Kit "${kit}"${at(place)} gives no mark_min and mark_max, so its reach is not known. Fill them in and load the kits file again with --replace.`;

export const indexBeyond = (index: number, kit: string, count: number) =>
    `Kit "${kit}" has no index ${index}: it bolts in ${counted(count, 'position')}. Give --index 1 to ${count}.`;

export const indexUnknown = (corner: string, place: Place) =>
    `The newest reading of ${corner}${at(place)} does not say in which index the plate sits. Give it with --index, or ask over all of them with --any-index.`;

export const targetNotForChassis = (target: string, chassis: string | null, known: readonly string[]) =>
    `${listedFor(`Target "${target}"`, known, chassis)}. Name another target, or ${addRow('targets')}`;

export const targetWithoutAngles = (target: string, place: Place) =>
    `Target "${target}"${at(place)} names neither camber_deg nor caster_deg, so there is nothing to aim at. Fill one in and load the targets file again with --replace.`;

export const targetWithoutTolerance = (target: string, column: string, place: Place) =>
    `Target "${target}"${at(place)} has no ${column}, so nobody can say whether a setting meets it. Fill it in (a workshop often aims at 0.1 to 0.15 deg of camber and 0.3 to 0.5 deg of caster) and load the targets file again with --replace.`;

import { programName } from './programName.js';

/** Sentences about sheets, the watched folder and the server. */

export function noCarForSheet(): string {
    return `No car of the readings is what --vehicle, --chassis and --kit ask for together. Leave one of them out, or see the cars with ${programName()} export present_corners --to cars.csv.`;
}

export function oneCarOnly(): string {
    return 'These pages take one --vehicle; only sheet takes several. Ask for the sheet by itself.';
}

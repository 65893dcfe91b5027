/** Sentences of the first minutes: no database yet, files to start from. */

import { programName } from './programName.js';
import { counted, listed, shellPath } from './words.js';

export const wouldOverwrite = (files: readonly string[]) =>
    `${listed(files)} ${files.length === 1 ? 'is' : 'are'} there already, and init overwrites nothing. Name another folder, or move ${files.length === 1 ? 'it' : 'them'} away.`;

export const notOfDemo = (database: string, file: string) =>
    `${database} holds rows of ${file}, which are not of the example season, and demo would make it anew without them. Name another folder with --out, or move the database away.`;

/** `csvFiles`: what lies in the folder and might be loaded. */
export function nothingHere(database: string, csvFiles: readonly string[]): string[] {
    const load =
        csvFiles.length === 0
            ? []
            : [
                  `${counted(csvFiles.length, 'CSV file lies', 'CSV files lie')} here. To take ${csvFiles.length === 1 ? 'it' : 'them'} in: ${programName()} load ${csvFiles.slice(0, 8).map(shellPath).join(' ')}`,
              ];
    return [
        `There is no database ${database} yet: nothing has been loaded here.`,
        ...load,
        `To look around on an invented season: ${programName('')} demo`,
        `For files to fill in, with example rows: ${programName('')} init my-data`,
        `For a rack's export with columns of its own: ${programName('')} map EXPORT.csv`,
        `All commands: ${programName('')} --help`,
    ];
}

export const shellOrValues = () =>
    `Name a shell, bash, zsh or fish, for its script: ${programName()} completion bash. Or ask for names with --values vehicle.`;

import { programName } from './programName.js';
import { counted } from './words.js';

/** Sentences about sheets, the watched folder and the server. */

export const noCarForSheet = () =>
    `No car of the readings is what --vehicle, --chassis and --kit ask for together. Leave one of them out, or see the cars with ${programName()} export present_corners --to cars.csv.`;

export const sheetIsPage = () => 'The sheet is a page to type into: leave --format out for it.';

export const oneCarOnly = () =>
    'These pages take one --vehicle; only sheet takes several. Ask for the sheet by itself.';

interface Watched {
    file: string;
    moved_to: string;
    loaded_count: number;
    duplicate_count: number;
    rejected_count: number;
    reason: string | null;
}

/** What became of one file, in a line. */
export function watched({
    file,
    moved_to,
    loaded_count,
    duplicate_count,
    rejected_count,
    reason,
}: Watched): string {
    if (reason !== null) return `${file}: set aside, ${reason.split('\n')[0]}`;
    const known = duplicate_count === 0 ? '' : `, ${duplicate_count} known`;
    const aside =
        rejected_count === 0 ? '' : `, ${counted(rejected_count, 'row')} set aside: see ${moved_to}`;
    return `${file}: ${loaded_count} new${known}${aside}`;
}

export function watchEnds(rows: readonly Watched[]): string {
    const news = rows.reduce((sum, { loaded_count }) => sum + loaded_count, 0);
    return `${counted(rows.length, 'file')}, ${counted(news, 'new row')}.`;
}

export const cannotListen = (port: number, reason: string) =>
    `Cannot listen at port ${port}: ${reason}. Another program may use it: name another one with --port, or --port 0 for any that is free.`;

export const pairingCode = (address: string, code: string) =>
    `To pair a phone of this network, scan this, or open ${address} there and type ${code}. The code pairs one device.`;

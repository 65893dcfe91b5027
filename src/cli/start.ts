import { existsSync, readdirSync } from 'node:fs';
import type { StartRow } from '../contracts/results/start.js';
import { programName } from '../errors/programName.js';
import { nothingHere } from '../errors/startMessages.js';
import { counted } from '../errors/words.js';
import type { Context } from './command.js';
import { withDatabase } from './withDatabase.js';

function csvFiles(): string[] {
    try {
        return readdirSync('.')
            .filter((file) => /\.csv$/i.test(file))
            .sort();
    } catch {
        return [];
    }
}

const nothing = (database: string): StartRow => ({
    database,
    exists: false,
    reading_count: 0,
    vehicle_count: 0,
    chassis_count: 0,
    visit_count: 0,
    newest_on: null,
    rejected_count: 0,
    unknown_kits: [],
    unknown_targets: [],
    missing_kinds: [],
    next: [`${programName('')} demo`, `${programName('')} init my-data`],
});

function heldWords({
    database,
    reading_count,
    vehicle_count,
    chassis_count,
    visit_count,
    newest_on,
}: StartRow) {
    if (reading_count === 0)
        return `${database} holds no readings yet. Load some: ${programName()} load readings.csv`;
    return `${database} holds ${counted(reading_count, 'reading')} of ${counted(vehicle_count, 'car')} (${chassis_count} chassis) in ${counted(visit_count, 'visit')}, the newest of ${newest_on}.`;
}

/** What the program says without a command: where one stands, and what to type next. Throws like any opening of a database. */
export async function showStart(context: Context): Promise<void> {
    const { db: file } = context.options;
    if (!existsSync(file)) return context.output.result([nothing(file)], nothingHere(file, csvFiles()), []);
    const { standing } = await import('../model/standing.js');
    const { notes, ...held } = await withDatabase(context, 'read', standing);
    const row: StartRow = { database: file, exists: true, ...held };
    const waiting = `${counted(row.rejected_count, 'row was', 'rows were')} set aside and wait to be mended: ${programName()} rejects`;
    const next = ['What can be asked now:', ...row.next.map((one) => `  ${one}`)].join('\n');
    await context.output.result(
        [row],
        [
            heldWords(row),
            ...(row.rejected_count === 0 ? [] : [waiting]),
            ...(row.next.length === 0 ? [] : [next]),
            ...notes,
            `All commands: ${programName('')} --help`,
        ],
        [],
    );
}

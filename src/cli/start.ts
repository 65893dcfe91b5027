import { existsSync, readdirSync } from 'node:fs';
import type { Command } from 'commander';
import type { StartRow } from '../contracts/results/start.js';
import { programName } from '../errors/programName.js';
import { nothingHere } from '../errors/startMessages.js';
import { counted } from '../errors/words.js';
import type { Context } from './command.js';
import { opening } from './opening.js';

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
    next: [`${programName()} demo`, `${programName()} init my-data`],
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
export async function showStart(program: Command, context: Context): Promise<void> {
    const { db: file } = context.options(program);
    const output = context.output(program);
    if (!existsSync(file)) {
        await output.result('start', [nothing(file)], nothingHere(file, csvFiles()), []);
        return;
    }
    const { openDatabase } = await import('../db/openDatabase.js');
    const { standing } = await import('../model/standing.js');
    const db = await openDatabase({ file, mode: 'read', ...opening(program, context) });
    try {
        const { notes, ...held } = await standing(db, file);
        const row: StartRow = { database: file, exists: true, ...held };
        const waiting =
            row.rejected_count === 0
                ? []
                : [
                      `${counted(row.rejected_count, 'row was', 'rows were')} set aside and wait to be mended: ${programName()} rejects`,
                  ];
        await output.result(
            'start',
            [row],
            [
                heldWords(row),
                ...waiting,
                ...(row.next.length === 0
                    ? []
                    : [['What can be asked now:', ...row.next.map((one) => `  ${one}`)].join('\n')]),
                ...notes,
                `All commands: ${programName()} --help`,
            ],
            [],
        );
    } finally {
        db.close();
    }
}

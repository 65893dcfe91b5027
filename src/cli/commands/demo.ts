import { existsSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { UserError } from '../../errors/errors.js';
import { hintsAsk, programName } from '../../errors/programName.js';
import { notOfDemo } from '../../errors/startMessages.js';
import { counted } from '../../errors/words.js';
import { packageRoot } from '../../packageRoot.js';
import type { CommandModule } from '../command.js';

/** Throws a {@link UserError} where the database `file` holds anything but the season, which making it anew would lose. */
async function requireSeason(file: string): Promise<void> {
    const { openDatabase } = await import('../../db/openDatabase.js');
    const db = await openDatabase({ file, mode: 'read' });
    try {
        const [other] = await db.cells(
            `select file from loads where not regexp_matches(path, 'fixtures.season.[a-z-]+\\.csv$') order by load_id limit 1`,
        );
        if (other !== undefined) throw new UserError(notOfDemo(file, String(other.file)), 'cannot_write');
    } finally {
        db.close();
    }
}

export default {
    describe: 'all of it on the invented example season, in a database of its own',
    example: 'demo --out season',
    build(command, context) {
        command
            .option(
                '--out <dir>',
                'folder for the database season.duckdb and the pages; made when missing',
                'strutmark-demo',
            )
            .action(async ({ out }: { out: string }) => {
                const { loadFiles } = await import('../../load/loadFiles.js');
                const { openModel } = await import('../../model/openModel.js');
                const { makeFolder } = await import('../../report/makeFolder.js');
                const { slopes } = await import('../../model/slopes.js');
                const { gatherSuspects } = await import('../../model/suspects.js');
                const { writeReports } = await import('../../report/writeReports.js');
                const { output } = context;
                const season = join(packageRoot(), 'fixtures', 'season');
                const files = readdirSync(season)
                    .filter((file) => file.endsWith('.csv'))
                    .map((file) => join(season, file));
                const database = join(out, 'season.duckdb');
                makeFolder(out);
                if (existsSync(database)) await requireSeason(database);
                rmSync(database, { force: true });
                const { rows: loads } = await loadFiles(files, database, { signal: context.signal });
                const loaded = loads.reduce((sum, row) => sum + row.loaded_count, 0);
                const rejected = loads.reduce((sum, row) => sum + row.rejected_count, 0);
                const db = await openModel(database, { signal: context.signal });
                try {
                    const { rows } = await slopes(db);
                    await gatherSuspects(db);
                    const pages = await writeReports(db, [], out);
                    hintsAsk({ db: database });
                    const camber = rows.filter((row) => row.response === 'camber_deg' && row.axis === 'out');
                    const notes = [
                        'The season, its cars, people and kits are invented.',
                        `${loaded} rows loaded, ${rejected} set aside because they break the contract (${programName()} rejects lists them).`,
                        ...camber.map(
                            (row) =>
                                `${row.chassis}: 1 mm outboard is worth ${row.shrunk_deg_per_mm!.toFixed(3)} deg of camber, standard error ${row.shrunk_std_error_deg_per_mm!.toFixed(3)} (${counted(row.move_count, 'move')} of ${counted(row.vehicle_count, 'car')}).`,
                        ),
                        `Ask it more: ${programName()} slopes; ${programName()} check.`,
                    ];
                    await output.result(pages, notes, [
                        { title: 'page', value: 'name' },
                        { title: 'file', value: 'file' },
                        { title: 'kB', value: (row) => row.bytes / 1000, digits: 0 },
                    ]);
                } finally {
                    db.close();
                }
            });
    },
} satisfies CommandModule;

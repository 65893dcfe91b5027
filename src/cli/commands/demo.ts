import { readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { programName } from '../../errors/programName.js';
import { counted, shellWord } from '../../errors/words.js';
import { packageRoot } from '../../packageRoot.js';
import type { CommandModule } from '../command.js';

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
                rmSync(database, { force: true });
                const { rows: loads } = await loadFiles(files, database, { signal: context.signal });
                const loaded = loads.reduce((sum, row) => sum + row.loaded_count, 0);
                const rejected = loads.reduce((sum, row) => sum + row.rejected_count, 0);
                const db = await openModel(database, { signal: context.signal });
                try {
                    const { rows } = await slopes(db);
                    await gatherSuspects(db);
                    const pages = await writeReports(db, [], out);
                    const camber = rows.filter((row) => row.response === 'camber_deg' && row.axis === 'out');
                    const notes = [
                        'The season, its cars, people and kits are invented.',
                        `${loaded} rows loaded, ${rejected} set aside because they break the contract (${programName()} --db ${shellWord(database)} rejects lists them).`,
                        ...camber.map(
                            (row) =>
                                `${row.chassis}: 1 mm outboard is worth ${row.shrunk_deg_per_mm!.toFixed(3)} deg of camber, standard error ${row.shrunk_std_error_deg_per_mm!.toFixed(3)} (${counted(row.move_count, 'move')} of ${counted(row.vehicle_count, 'car')}).`,
                        ),
                        `Ask it more: ${programName()} --db ${shellWord(database)} slopes; ${programName()} --db ${shellWord(database)} check.`,
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

import type { CommandModule } from '../command.js';

export default {
    describe: 'write any table of the database to a .csv, .parquet, .arrow or .json file',
    example: 'export slopes --to slopes.parquet',
    build(command, context) {
        command
            .argument('<table>', 'table of the database, such as slopes, moves or readings')
            .requiredOption('--to <file>', 'file to write; its ending names the format')
            .option(
                '--by-month',
                'readings: a new folder with a Parquet file a month, which --readings takes',
            )
            .option('--overwrite', 'replace the file where it is there already')
            .action(async (table: string, options: { to: string; byMonth?: true; overwrite?: true }) => {
                const { withModel } = await import('../withModel.js');
                const { exportFormat, exportMonths, exportTable, requireFree, stagingFolder } = await import(
                    '../../export/exportTable.js'
                );
                if (!options.byMonth) exportFormat(options.to);
                if (!options.byMonth && !options.overwrite) requireFree(options.to);
                const staging = stagingFolder(options.to);
                const { rmSync } = await import('node:fs');
                try {
                    const count = await withModel(
                        command,
                        context,
                        async () => ({
                            needs: [table],
                            ask: (db) =>
                                options.byMonth
                                    ? exportMonths(db, table, options.to, staging)
                                    : exportTable(db, table, options.to, staging, options.overwrite),
                        }),
                        { paths: [staging] },
                    );
                    const row = { table, file: options.to, row_count: count };
                    await context.output(command).result(
                        'export',
                        [row],
                        [],
                        [
                            { title: 'table', value: (r) => r.table },
                            { title: 'file', value: (r) => r.file },
                            { title: 'rows', value: (r) => r.row_count, digits: 0 },
                        ],
                    );
                } finally {
                    rmSync(staging, { recursive: true, force: true });
                }
            });
    },
} satisfies CommandModule;

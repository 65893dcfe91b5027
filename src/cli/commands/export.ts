import { tableAndFile } from '../../errors/askMessages.js';
import { UsageError } from '../../errors/errors.js';
import type { ExportOptions } from '../../library/types.js';
import type { CommandModule } from '../command.js';
import type { Output } from '../output.js';
import { withModel } from '../withModel.js';

/** Input tables, then those of the model in the order in which they are made. */
async function listTables(output: Output): Promise<void> {
    const { tables } = await import('../../contracts/tables.js');
    const { modelFiles } = await import('../../model/sqlFile.js');
    const rows = [
        ...tables.map(({ kind, title, grain }) => ({ table: kind, kind: 'input', title, grain })),
        ...modelFiles().map(({ table, title, grain }) => ({ table, kind: 'model', title, grain })),
    ];
    await output.result(
        rows,
        [
            `${rows.length} tables. What a column of a model table is stands at the head of its file in sql/, and goes along into a Parquet or Arrow file.`,
        ],
        [
            { title: 'table', value: 'table' },
            { title: 'kind', value: 'kind' },
            { title: 'what it holds', value: 'title' },
            { title: 'grain', drop: 1, value: 'grain' },
        ],
    );
}

export default {
    describe: 'write any table of the database to a .csv, .parquet, .arrow or .json file',
    example: 'export slopes --to slopes.parquet',
    build(command, context) {
        command
            .argument('[table]', 'table of the database, such as slopes, moves or readings')
            .option('--to <file>', 'file to write; its ending names the format')
            .option('--list', 'the tables that can be exported, and what a row of each is')
            .option(
                '--by-month',
                'readings: a new folder with a Parquet file a month, which --readings takes',
            )
            .option('--overwrite', 'replace the file where it is there already')
            .action(
                async (
                    table: string | undefined,
                    { list, to, ...rest }: Partial<ExportOptions> & { list?: true },
                ) => {
                    if (list) {
                        await listTables(context.output);
                        return;
                    }
                    if (table === undefined || to === undefined) throw new UsageError(tableAndFile());
                    const { exported } = await import('../../library/exporting.js');
                    const row = await exported(table, { ...rest, to }, (question, folder) =>
                        withModel(context, question, { paths: [folder] }),
                    );
                    await context.output.result(
                        [row],
                        [],
                        [
                            { title: 'table', value: 'table' },
                            { title: 'file', value: 'file' },
                            { title: 'rows', value: 'row_count', digits: 0 },
                        ],
                    );
                },
            );
    },
} satisfies CommandModule;

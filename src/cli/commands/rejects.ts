import type { RejectRow, WrittenRejectsRow } from '../../contracts/results/load.js';
import { rejectsWaiting, rejectsWritten } from '../../errors/messages.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';

const SHOWN_ROWS = 200;
const SHOWN_TEXT = 40;

const rejectColumns: TableColumn<RejectRow>[] = [
    { title: 'where', value: (row) => `${row.file}:${row.line}` },
    { title: 'column', value: 'column' },
    {
        title: 'row',
        value: ({ text }) => (text.length > SHOWN_TEXT ? `${text.slice(0, SHOWN_TEXT)}...` : text),
    },
    { title: 'reason', value: 'reason' },
];

const writtenColumns: TableColumn<WrittenRejectsRow>[] = [
    { title: 'file', value: 'file' },
    { title: 'reasons', value: 'reasons_file' },
    { title: 'kind', value: 'kind' },
    { title: 'rows', value: 'row_count', digits: 0 },
];

export default {
    describe: 'the rows that load set aside, with file, line, column, reason and the original text',
    example: 'rejects --to rejected.csv',
    build(command, context) {
        command
            .option('--file <file>', 'only rows of this file')
            .option('--to <csv>', 'write the rows to a CSV file that can be mended and loaded again')
            .action(async (options: { file?: string; to?: string }) => {
                const { openDatabase } = await import('../../db/openDatabase.js');
                const { opening } = await import('../opening.js');
                const { listRejects, writeRejects } = await import('../../load/rejects.js');
                const output = context.output(command);
                const { db: file } = context.options(command);
                const db = await openDatabase({
                    file,
                    mode: options.to === undefined ? 'read' : 'write',
                    ...opening(command, context),
                });
                try {
                    if (options.to !== undefined) {
                        const rows = await writeRejects(db, options.to, options.file);
                        const maps = [...new Set(rows.flatMap(({ map }) => map ?? []))];
                        const note = rows.length === 0 ? rejectsWaiting(0, 0) : rejectsWritten(maps);
                        return await output.result('rejects', rows, [note], writtenColumns);
                    }
                    const rows = await listRejects(db, options.file);
                    if (context.options(command).json)
                        return await output.result('rejects', rows, [], rejectColumns);
                    const shown = rows.slice(0, SHOWN_ROWS);
                    await output.result(
                        'rejects',
                        shown,
                        [rejectsWaiting(shown.length, rows.length)],
                        rejectColumns,
                    );
                } finally {
                    db.close();
                }
            });
    },
} satisfies CommandModule;

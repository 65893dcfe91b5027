import type { RejectRow, WrittenRejectsRow } from '../../contracts/results/load.js';
import { rejectsWaiting, rejectsWritten } from '../../errors/messages.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { withDatabase } from '../withDatabase.js';

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
                const { listRejects, writeRejects } = await import('../../load/rejects.js');
                const { file, to } = options;
                if (to !== undefined) {
                    const rows = await withDatabase(context, 'write', (db) => writeRejects(db, to, file));
                    const maps = [...new Set(rows.flatMap(({ map }) => map ?? []))];
                    const note = rows.length === 0 ? rejectsWaiting(0, 0) : rejectsWritten(maps);
                    return await context.output.result(rows, [note], writtenColumns);
                }
                const rows = await withDatabase(context, 'read', (db) => listRejects(db, file));
                if (context.options.json) return await context.output.result(rows, [], rejectColumns);
                const shown = rows.slice(0, SHOWN_ROWS);
                const note = rejectsWaiting(shown.length, rows.length);
                await context.output.result(shown, [note], rejectColumns);
            });
    },
} satisfies CommandModule;

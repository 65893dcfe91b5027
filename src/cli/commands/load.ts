import type { LoadRow } from '../../contracts/results/load.js';
import { UsageError, UserError } from '../../errors/errors.js';
import { dryRunDone, mapAndKind, rowsSetAside } from '../../errors/messages.js';
import { programName } from '../../errors/programName.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';

const fileColumns: TableColumn<LoadRow>[] = [
    { title: 'file', value: (row) => row.file },
    { title: 'kind', value: (row) => row.kind },
];

/** What the map made the rows read of. */
const mapColumns: TableColumn<LoadRow>[] = [
    { title: 'rows in file', value: (row) => row.source_row_count, digits: 0 },
    { title: 'dropped', value: (row) => row.dropped_row_count, digits: 0 },
];

const countColumns: TableColumn<LoadRow>[] = [
    { title: 'read', value: (row) => row.read_count, digits: 0 },
    { title: 'loaded', value: (row) => row.loaded_count, digits: 0 },
    { title: 'duplicate', value: (row) => row.duplicate_count, digits: 0 },
    { title: 'set aside', value: (row) => row.rejected_count, digits: 0 },
    { title: 'replaced', value: (row) => row.replaced_count, digits: 0 },
];

interface Options {
    as?: string;
    map?: string;
    replace?: boolean;
    dryRun?: boolean;
}

export default {
    describe: 'take CSV files in: readings, kits, targets, sessions, shafts, hardware',
    example: 'load kits.csv targets.csv readings.csv',
    build(command, context) {
        command
            .argument(
                '<files...>',
                'CSV files (UTF-8, comma, header row); the kind is recognised from the header',
            )
            .option(
                '--map <yaml>',
                `how to read files that are not in our format; ${programName()} map FILE writes a first guess`,
            )
            .option('--as <kind>', 'kind of the files, instead of recognising it')
            .option(
                '--replace',
                'a row with a known key and other content replaces the stored one, which goes to the history',
            )
            .option('--dry-run', 'say what would happen and change nothing')
            .action(async (files: string[], options: Options) => {
                const { loadFiles } = await import('../../load/loadFiles.js');
                const { readMap } = await import('../../load/map/readMap.js');
                const { loadProgress } = await import('../loadProgress.js');
                const { opening } = await import('../opening.js');
                if (options.as !== undefined && options.map !== undefined) throw new UsageError(mapAndKind());
                const output = context.output(command);
                const { rows, refused } = await loadFiles(files, context.options(command).db, {
                    ...(options.as !== undefined && { kind: options.as }),
                    ...(options.map !== undefined && { map: readMap(options.map) }),
                    ...opening(command, context),
                    replace: options.replace === true,
                    dryRun: options.dryRun === true,
                    onProgress: loadProgress(output, () => performance.now()),
                    signal: context.signal,
                }).finally(() => output.progressDone());
                const rejectedCount = rows.reduce((sum, row) => sum + row.rejected_count, 0);
                const notes = [
                    ...(rejectedCount > 0 ? [rowsSetAside(rejectedCount)] : []),
                    ...(options.dryRun === true ? [dryRunDone()] : []),
                ];
                const columns = [
                    ...fileColumns,
                    ...(options.map === undefined ? [] : mapColumns),
                    ...countColumns,
                ];
                if (rows.length > 0) await output.result('load', rows, notes, columns);
                if (refused.length > 0)
                    throw new UserError(refused.map(({ reason }) => reason).join('\nerror: '));
                if (rejectedCount > 0) context.setExitCode(3);
            });
    },
} satisfies CommandModule;

import type { LoadRow } from '../../contracts/results/load.js';
import type { Database } from '../../db/database.js';
import { UsageError, UserError } from '../../errors/errors.js';
import {
    dryRunDone,
    mapAndKind,
    oneFileInstead,
    onlyInstead,
    rowsSetAside,
    rowsToSetAside,
} from '../../errors/messages.js';
import { programName } from '../../errors/programName.js';
import type { LoadReport } from '../../load/loadFiles.js';
import type { CommandModule } from '../command.js';
import { forgottenColumns, leftOut, shownRows } from '../forgottenColumns.js';
import { part, type TableColumn } from '../output.js';

const fileColumns: TableColumn<LoadRow>[] = [
    { title: 'file', value: 'file' },
    { title: 'kind', value: 'kind' },
];

/** What the map made the rows read of. */
const mapColumns: TableColumn<LoadRow>[] = [
    { title: 'rows in file', value: 'source_row_count', digits: 0 },
    { title: 'dropped', value: 'dropped_row_count', digits: 0 },
];

const countColumns: TableColumn<LoadRow>[] = [
    { title: 'read', value: 'read_count', digits: 0 },
    { title: 'loaded', value: 'loaded_count', digits: 0 },
    { title: 'duplicate', value: 'duplicate_count', digits: 0 },
    { title: 'set aside', value: 'rejected_count', digits: 0 },
    { title: 'replaced', value: 'replaced_count', digits: 0 },
];

interface Options {
    as?: string;
    map?: string;
    replace?: boolean;
    insteadOf?: string;
    by?: string;
    because?: string;
    dryRun?: boolean;
    later?: boolean;
}

const examples = () => `
More examples:
  ${programName()} load --dry-run mended.csv --instead-of readings.csv    list what would go
  ${programName()} load mended.csv --instead-of readings.csv
  ${programName()} load late.csv --replace                                by key; nothing else changes

Once the rows are stored, the model tables are made that questions ask, where there are readings. What stops that leaves the rows
stored, and questions make what is missing.`;

/** The earlier load that the one file stands in for; a UsageError where the options do not go together. */
async function standsFor(files: readonly string[], { insteadOf, by, because, dryRun }: Options) {
    if (insteadOf === undefined) {
        if (by !== undefined || because !== undefined) throw new UsageError(onlyInstead());
        return undefined;
    }
    if (files.length !== 1) throw new UsageError(oneFileInstead());
    const { reasonOf } = await import('../reason.js');
    return {
        load: insteadOf,
        ...reasonOf({ by, because: because ?? `${files[0]} stands in for ${insteadOf}` }, dryRun === true),
    };
}

export default {
    describe:
        'take CSV files in: readings, kits, targets, sessions, shafts, hardware, references, changes, rules',
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
            .option(
                '--instead-of <load>',
                'the one file stands in for this earlier load (the name of its file, or its number): its rows are replaced by key, and those that the new file no longer holds are voided',
            )
            .option('--by <name>', 'with --instead-of: who voids these rows; default the name of the system')
            .option('--because <reason>', 'with --instead-of: why; default that the new file stands in')
            .option('--dry-run', 'say what would happen and change nothing')
            .option(
                '--later',
                'do not make the model tables now; the first question makes those that it needs',
            )
            .addHelpText('after', examples())
            .action(async (files: string[], options: Options) => {
                const { loadFiles } = await import('../../load/loadFiles.js');
                const { readMap } = await import('../../load/map/readMap.js');
                const { loadProgress } = await import('../progress.js');
                const { opening } = await import('../opening.js');
                if (options.as !== undefined && options.map !== undefined) throw new UsageError(mapAndKind());
                const stands = await standsFor(files, options);
                const { output } = context;
                const { db: file, readings, json } = context.options;
                let stopped: string | null = null;
                let waiting = false;
                const tell = async (
                    { rows, asideCount, gone, notes: remarks }: LoadReport,
                    next: string[],
                ) => {
                    output.progressDone();
                    const notes = [
                        ...(asideCount > 0
                            ? [(options.dryRun ? rowsToSetAside : rowsSetAside)(asideCount)]
                            : []),
                        ...leftOut(gone, json),
                        ...remarks,
                        ...(options.dryRun ? [dryRunDone()] : []),
                        ...next,
                    ];
                    const columns = [
                        ...fileColumns,
                        ...(options.map === undefined ? [] : mapColumns),
                        ...countColumns,
                    ];
                    const parts =
                        stands === undefined
                            ? []
                            : [part('gone', 'no longer held', shownRows(gone, json), forgottenColumns)];
                    await output.result(rows, notes, columns, { parts });
                };
                const onStored = async (report: LoadReport, db: Database) => {
                    const { afterLoad } = await import('../afterLoad.js');
                    await tell(report, await afterLoad(db, context.signal));
                    if (!report.hasReadings || options.later) return;
                    const { makeModels } = await import('../makeModels.js');
                    const { areSmall } = await import('../../db/smallFiles.js');
                    waiting = readings !== undefined || !areSmall(file, ...files);
                    if (!waiting) stopped = await makeModels(context, db);
                };
                const report = await loadFiles(files, file, {
                    kind: options.as,
                    ...(options.map !== undefined && { map: readMap(options.map) }),
                    ...opening(context),
                    insteadOf: stands,
                    replace: options.replace === true,
                    dryRun: options.dryRun === true,
                    onProgress: loadProgress(output),
                    onStored,
                }).finally(() => output.progressDone());
                const { rows, refused, asideCount } = report;
                if (options.dryRun && rows.length > 0) await tell(report, []);
                if (waiting) {
                    const { makeModels } = await import('../makeModels.js');
                    stopped = await makeModels(context);
                }
                const errors = refused.map(({ reason }) => reason);
                if (stopped !== null) errors.push(stopped);
                if (errors.length > 0) throw new UserError(errors.join('\nerror: '));
                if (asideCount > 0) context.setExitCode(3);
            });
    },
} satisfies CommandModule;

import type { GaugeRow } from '../../contracts/results/gauges.js';
import type { ReturnRow } from '../../contracts/results/returns.js';
import { onlyWith } from '../../errors/askMessages.js';
import { UsageError } from '../../errors/errors.js';
import { limits } from '../../library/limits.js';
import { gauges, returns } from '../../library/questions.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { numberOption } from '../settingOptions.js';
import { withModel } from '../withModel.js';

/** Share of the tightest tolerance, percent. */
function tightest(row: GaugeRow): number | null {
    const shares = row.tolerances.map((tolerance) => tolerance.share_of_tolerance);
    return shares.length === 0 ? null : 100 * Math.max(...shares);
}

const columns: TableColumn<GaugeRow>[] = [
    { title: 'kind', value: 'kind' },
    { title: 'name', value: 'name' },
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'readings', value: 'reading_count', digits: 0 },
    { title: 'repeatability', value: 'repeatability_deg', digits: 3 },
    { title: 'df', value: 'df', digits: 0 },
    { title: 'from', value: 'source' },
    { title: 'bias', value: 'bias_deg', digits: 3 },
    { title: 'std error', value: 'bias_std_error_deg', digits: 3 },
    { title: 'least change', value: 'believable_change_deg', digits: 2 },
    { title: 'of three', value: 'believable_change_of_three_deg', digits: 2 },
    { title: '% of tightest', value: tightest, digits: 0 },
];

/** Only where references were read. */
const referenceColumns: TableColumn<GaugeRow>[] = [
    { title: 'of reference', value: 'reference_error_deg', digits: 3 },
    { title: 'its std error', value: 'reference_std_error_deg', digits: 3 },
    { title: 'reads', value: 'reference_reading_count', digits: 0 },
];

const returnColumns: TableColumn<ReturnRow>[] = [
    { title: 'kit', value: 'kit' },
    { title: 'bearing', drop: 1, value: (row) => row.bearing?.replace('_', ' ') ?? null },
    { title: 'index', value: (row) => row.plate_index ?? 'all', digits: 0 },
    { title: 'mark', value: (row) => row.mark_1 ?? 'all', digits: 1 },
    { title: '2nd', drop: 3, value: 'mark_2', digits: 1 },
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'sd deg', value: 'spread_deg', digits: 3 },
    { title: '95 % from', drop: 4, value: 'spread_low_deg', digits: 3 },
    { title: 'to', drop: 4, value: 'spread_high_deg', digits: 3 },
    { title: 'reading deg', drop: 2, value: 'reading_deg', digits: 3 },
    { title: 'returns', value: 'return_count', digits: 0 },
    { title: 'corners', drop: 2, value: 'corner_count', digits: 0 },
];

interface Options {
    returns?: true;
    kit?: string;
    mark?: number;
}

export default {
    describe:
        'repeatability and bias of each gauge and technician, the smallest change to believe, and how well marks are repeated',
    example: 'gauges',
    build(command, context) {
        command
            .option('--returns', 'how well settings come back to marks that they had left, per kit and mark')
            .option('--kit <id>', 'with --returns: only this kit')
            .addOption(
                numberOption('--mark <n>', 'with --returns: only this mark of the first scale', limits.mark),
            )
            .action(async (options: Options) => {
                if (options.returns) {
                    const told = await withModel(context, await returns(options));
                    const lead = Math.max(1, told.notes.length - 1);
                    const { output } = context;
                    await output.result(told.rows, told.notes, returnColumns, { lead });
                    return;
                }
                for (const name of ['kit', 'mark'] as const) {
                    if (options[name] !== undefined) throw new UsageError(onlyWith(`--${name}`, '--returns'));
                }
                const answer = await withModel(context, await gauges());
                const hasReferences = answer.rows.some((row) => row.reference_reading_count > 0);
                await context.output.result(
                    answer.rows,
                    answer.notes,
                    [...columns, ...(hasReferences ? referenceColumns : [])],
                    { lead: 2 },
                );
            });
    },
} satisfies CommandModule;

import type { GaugeRow } from '../../contracts/results/gauges.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';

/** Share of the tightest tolerance, percent. */
function tightest(row: GaugeRow): number | null {
    const shares = row.tolerances.map((tolerance) => tolerance.share_of_tolerance);
    return shares.length === 0 ? null : 100 * Math.max(...shares);
}

const columns: TableColumn<GaugeRow>[] = [
    { title: 'kind', value: (row) => row.kind },
    { title: 'name', value: (row) => row.name },
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'readings', value: (row) => row.reading_count, digits: 0 },
    { title: 'repeatability', value: (row) => row.repeatability_deg, digits: 3 },
    { title: 'df', value: (row) => row.df, digits: 0 },
    { title: 'from', value: (row) => row.source },
    { title: 'bias', value: (row) => row.bias_deg, digits: 3 },
    { title: 'std error', value: (row) => row.bias_std_error_deg, digits: 3 },
    { title: 'believe 1:1', value: (row) => row.believable_change_deg, digits: 2 },
    { title: '3:3', value: (row) => row.believable_change_of_three_deg, digits: 2 },
    { title: '% of tightest', value: tightest, digits: 0 },
];

/** Only where references were read. */
const referenceColumns: TableColumn<GaugeRow>[] = [
    { title: 'of reference', value: (row) => row.reference_error_deg, digits: 3 },
    { title: 'its std error', value: (row) => row.reference_std_error_deg, digits: 3 },
    { title: 'reads', value: (row) => row.reference_reading_count, digits: 0 },
];

export default {
    describe: 'repeatability and bias of each gauge and technician, and the smallest change to believe',
    example: 'gauges',
    build(command, context) {
        command.action(async () => {
            const { withModel } = await import('../withModel.js');
            const answer = await withModel(command, context, async () => {
                const { gauges, gaugesNeeds } = await import('../../model/gauges.js');
                return { needs: gaugesNeeds, ask: gauges };
            });
            const hasReferences = answer.rows.some((row) => row.reference_reading_count > 0);
            await context
                .output(command)
                .result('gauges', answer.rows, answer.notes, [
                    ...columns,
                    ...(hasReferences ? referenceColumns : []),
                ]);
        });
    },
} satisfies CommandModule;

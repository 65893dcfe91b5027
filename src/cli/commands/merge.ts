import type { MergeRow, NeedRow, PopulationRow } from '../../contracts/results/merge.js';
import type { CommandModule } from '../command.js';
import { part, type TableColumn } from '../output.js';
import { slopeColumns } from '../slopeColumns.js';

const afterCars = 1 + slopeColumns.findIndex(({ title }) => title === 'cars');
const mergedColumns: TableColumn<MergeRow>[] = [
    ...slopeColumns.slice(0, afterCars),
    { title: 'sites', value: (row) => row.site_count, digits: 0 },
    ...slopeColumns.slice(afterCars),
];

const sd = (variance: number | null) => (variance === null ? null : Math.sqrt(variance));

const populationColumns: TableColumn<PopulationRow>[] = [
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'per mm', value: (row) => row.axis },
    { title: 'chassis', value: (row) => row.chassis_count, digits: 0 },
    { title: 'mean', value: (row) => row.mean_deg_per_mm, digits: 4 },
    { title: 'std error', value: (row) => row.mean_std_error_deg_per_mm, digits: 4 },
    { title: 'sd between', value: (row) => sd(row.between_var_deg2_per_mm2), digits: 4 },
    { title: 'without prior', value: (row) => sd(row.paule_mandel_var_deg2_per_mm2), digits: 4 },
];

const needColumns: TableColumn<NeedRow>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'target', value: (row) => row.target },
    { title: 'corners', value: (row) => row.corner_count, digits: 0 },
    { title: 'cars', value: (row) => row.vehicle_count, digits: 0 },
    { title: 'sites', value: (row) => row.site_count, digits: 0 },
    { title: 'out mean', value: (row) => row.need_out_mean_mm, digits: 1 },
    { title: 'cars from', value: (row) => row.need_out_low_mm, digits: 1 },
    { title: 'to mm', value: (row) => row.need_out_high_mm, digits: 1 },
    { title: 'aft mean', value: (row) => row.need_aft_mean_mm, digits: 1 },
    { title: 'cars from', value: (row) => row.need_aft_low_mm, digits: 1 },
    { title: 'to mm', value: (row) => row.need_aft_high_mm, digits: 1 },
    { title: 'remark', value: (row) => row.reason ?? '' },
];

export default {
    describe:
        'slopes and needed offsets of the field that several sites share, from the files that share wrote',
    example: 'merge north.parquet south.parquet',
    build(command, context) {
        command
            .argument('<files...>', 'files that the sites wrote with share, one of each site')
            .option('--once', 'count a car that stands under two pseudonyms with the same moves once')
            .action(async (files: string[], options: { once?: boolean }) => {
                const { mergeShares } = await import('../../share/mergeShares.js');
                const { merged } = await import('../../share/merged.js');
                const db = await mergeShares(files, {
                    signal: context.signal,
                    once: options.once === true,
                });
                try {
                    const { rows, populations, needs, notes } = await merged(db);
                    await context
                        .output(command)
                        .result('merge', rows, notes, mergedColumns, [
                            part('populations', 'Between chassis, deg/mm', populations, populationColumns),
                            part('needs', 'Needed offsets', needs, needColumns),
                        ]);
                } finally {
                    db.close();
                }
            });
    },
} satisfies CommandModule;

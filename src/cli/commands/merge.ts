import type { MergeRow, NeedRow, PopulationRow, ReachRow } from '../../contracts/results/merge.js';
import { hundred } from '../../units/percent.js';
import type { CommandModule } from '../command.js';
import { part, type TableColumn } from '../output.js';
import { numberOption } from '../settingOptions.js';
import { slopeColumns } from '../slopeColumns.js';

const afterCars = 1 + slopeColumns.findIndex(({ title }) => title === 'cars');
const mergedColumns: TableColumn<MergeRow>[] = [
    ...slopeColumns.slice(0, afterCars),
    { title: 'sites', value: 'site_count', digits: 0 },
    ...slopeColumns.slice(afterCars),
];

const sd = (variance: number | null) => (variance === null ? null : Math.sqrt(variance));

const populationColumns: TableColumn<PopulationRow>[] = [
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'per mm', value: 'axis' },
    { title: 'chassis', value: 'chassis_count', digits: 0 },
    { title: 'mean', value: 'mean_deg_per_mm', digits: 4 },
    { title: 'std error', value: 'mean_std_error_deg_per_mm', digits: 4 },
    { title: 'sd between', value: (row) => sd(row.between_var_deg2_per_mm2), digits: 4 },
    { title: 'without prior', value: (row) => sd(row.paule_mandel_var_deg2_per_mm2), digits: 4 },
];

const needColumns: TableColumn<NeedRow>[] = [
    { title: 'chassis', value: 'chassis' },
    { title: 'target', value: 'target' },
    { title: 'corners', value: 'corner_count', digits: 0 },
    { title: 'cars', value: 'vehicle_count', digits: 0 },
    { title: 'sites', value: 'site_count', digits: 0 },
    { title: 'out mean', value: 'need_out_mean_mm', digits: 1 },
    { title: 'cars from', value: 'need_out_low_mm', digits: 1 },
    { title: 'to mm', value: 'need_out_high_mm', digits: 1 },
    { title: 'aft mean', value: 'need_aft_mean_mm', digits: 1 },
    { title: 'cars from', value: 'need_aft_low_mm', digits: 1 },
    { title: 'to mm', value: 'need_aft_high_mm', digits: 1 },
    { title: 'remark', value: (row) => row.reason ?? '' },
];

const reachColumns: TableColumn<ReachRow>[] = [
    { title: 'chassis', value: 'chassis' },
    { title: 'target', value: 'target' },
    { title: 'kit', value: 'kit' },
    { title: 'corners', drop: 1, value: 'corner_count', digits: 0 },
    { title: 'reached %', value: (row) => hundred(row.share_reachable), digits: 0 },
    { title: '95 % from', drop: 2, value: (row) => hundred(row.conf_low), digits: 0 },
    { title: 'to', drop: 2, value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'slot mm', drop: 3, value: 'half_length_mm', digits: 1 },
    { title: 'for 90 %', value: 'half_length_90_mm', digits: 1 },
    { title: '95 %', value: 'half_length_95_mm', digits: 1 },
    { title: '99 %', value: 'half_length_99_mm', digits: 1 },
];

export default {
    describe:
        'slopes and needed offsets of the field that several sites share, from the files that share wrote',
    example: 'merge north.parquet south.parquet',
    build(command, context) {
        command
            .argument('<files...>', 'files that the sites wrote with share, one of each site')
            .option('--once', 'count a car that stands under two pseudonyms with the same moves once')
            .option(
                '--kit <file>',
                'kits file whose plates are judged: what share of the pooled corners each reaches',
            )
            .addOption(
                numberOption(
                    '--slot <deg>',
                    'direction of a slot, from outboard towards rearward: what length reaches how many, through the mean need',
                    { low: -180, high: 180 },
                ),
            )
            .action(async (files: string[], options: { once?: boolean; kit?: string; slot?: number }) => {
                const { mergeShares } = await import('../../share/mergeShares.js');
                const { merged } = await import('../../share/merged.js');
                const { reachNeeds } = await import('../../share/pooledReach.js');
                const { kitRows } = await import('../../load/kitRows.js');
                const kits = options.kit === undefined ? undefined : await kitRows(options.kit);
                const db = await mergeShares(files, {
                    signal: context.signal,
                    once: options.once === true,
                    needs: options.kit === undefined && options.slot === undefined ? [] : reachNeeds,
                });
                try {
                    const { rows, populations, needs, reaches, notes } = await merged(db, {
                        kits,
                        slot: options.slot,
                    });
                    const reached = part(
                        'reaches',
                        'Reached, and half-length of slot',
                        reaches,
                        reachColumns,
                    );
                    const parts = [
                        part('populations', 'Between chassis, deg/mm', populations, populationColumns),
                        part('needs', 'Needed offsets', needs, needColumns),
                        reached,
                    ];
                    const ofPlates = reaches.length > 0 && !context.options.json;
                    await context.output.result(rows, notes, ofPlates ? [] : mergedColumns, {
                        parts: ofPlates ? [reached] : parts,
                        lead: new Set(reaches.map(({ kit }) => kit)).size,
                    });
                } finally {
                    db.close();
                }
            });
    },
} satisfies CommandModule;

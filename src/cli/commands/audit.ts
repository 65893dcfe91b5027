import type { AuditRow, CallBackRow } from '../../contracts/results/audit.js';
import { onlyWithout } from '../../errors/askMessages.js';
import { UsageError } from '../../errors/errors.js';
import { limits } from '../../library/limits.js';
import { audit, callBacks } from '../../library/questions.js';
import { hundred } from '../../units/percent.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { numberOption } from '../settingOptions.js';
import { withModel } from '../withModel.js';

const columns: TableColumn<AuditRow>[] = [
    { title: 'group', value: 'group' },
    {
        title: 'angle',
        value: (row) =>
            row.response === 'all' ? 'whole visit' : row.response.replace('_deg', '').replace('_', ' '),
    },
    { title: 'count', value: 'count', digits: 0 },
    { title: 'in', value: 'in_count', digits: 0 },
    { title: 'out', value: 'out_count', digits: 0 },
    { title: 'undecided', value: 'undecided_count', digits: 0 },
    { title: 'scale end', value: 'end_of_scale_count', digits: 0 },
    { title: 'hit %', value: (row) => hundred(row.hit_share), digits: 0 },
    { title: '95 % from', value: (row) => hundred(row.conf_low), digits: 0 },
    { title: 'to', value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'mean error', value: 'mean_error_deg', digits: 3 },
    { title: 'sd', value: 'sd_deg', digits: 3 },
    { title: 'gauge', value: 'gauge_sd_deg', digits: 3 },
    { title: 'hands', value: 'workmanship_sd_deg', digits: 3 },
    { title: 'Cp', value: 'cp', digits: 2 },
    { title: 'Cpk', value: 'cpk', digits: 2 },
    { title: '95 % from', value: 'cpk_conf_low', digits: 2 },
    { title: 'to', value: 'cpk_conf_high', digits: 2 },
    { title: 'shrunken %', value: (row) => hundred(row.shrunk_share), digits: 0 },
    {
        title: 'place',
        value: (row) => (row.rank_low === row.rank_high ? row.rank : `${row.rank_low} to ${row.rank_high}`),
    },
];

/** Columns about groups only where there are groups. */
function shown(rows: readonly AuditRow[]): TableColumn<AuditRow>[] {
    const grouped = rows.some((row) => row.split_by !== 'overall');
    return columns.filter(({ title }) => grouped || !['group', 'shrunken %', 'place'].includes(title));
}

const carColumns: TableColumn<CallBackRow>[] = [
    { title: 'day', value: 'day' },
    { title: 'car', value: 'vehicle' },
    { title: 'visit', drop: 1, value: 'visit' },
    { title: 'target', drop: 4, value: 'target' },
    { title: 'corner', value: 'corner' },
    { title: 'angle', value: (row) => row.response.replace('_deg', '').replace('_', ' ') },
    { title: 'off by deg', value: 'error_deg', digits: 2 },
    { title: 'tolerance', drop: 3, value: 'tol_deg', digits: 2 },
    { title: 'p inside', value: 'p_inside', digits: 2 },
    { title: 'more', drop: 2, value: 'other_count', digits: 0 },
    { title: 'what', value: 'what' },
];

async function groupingsOf(text: string) {
    const { parseGroupings } = await import('../../model/auditQuestion.js');
    return parseGroupings(text);
}

interface Options {
    by?: string;
    guard: number;
    comeBackDays: number;
    anonymous?: true;
    cars?: true;
}

export default {
    describe: 'did installs and adjustments hit their targets, and where do the misses come from',
    example: 'audit --by technician',
    build(command, context) {
        command
            .option(
                '--by <names>',
                'split by technician, gauge, kit, chassis or month, or by two of them: technician,kit',
            )
            .addOption(
                numberOption(
                    '--guard <u>',
                    'guard band in standard uncertainties of the reading: 1.65 as in ISO 14253-1, 0 for none',
                    limits.guard,
                ).default(1.65),
            )
            .addOption(
                numberOption(
                    '--come-back-days <days>',
                    'a car that is set to the same target again within this time has come back',
                    limits.comeBackDays,
                ).default(30),
            )
            .option('--cars', 'whom to call back and why, oldest first, all of them')
            .option('--anonymous', 'numbers for the names of technicians')
            .action(async (options: Options) => {
                if (options.cars) {
                    if (options.by !== undefined) throw new UsageError(onlyWithout('--by', '--cars'));
                    const called = await withModel(context, await callBacks(options));
                    const { output } = context;
                    await output.result(called.rows, called.notes, carColumns, { lead: 1 });
                    return;
                }
                const question = {
                    by: options.by === undefined ? [] : await groupingsOf(options.by),
                    guard: options.guard,
                    comeBackDays: options.comeBackDays,
                    anonymous: options.anonymous === true,
                };
                const { rows, notes } = await withModel(context, await audit(question));
                await context.output.result(rows, notes, shown(rows), { lead: 3 });
            });
    },
} satisfies CommandModule;

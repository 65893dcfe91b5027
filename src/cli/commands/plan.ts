import type { PlanRow } from '../../contracts/results/plan.js';
import { limits } from '../../library/limits.js';
import { plan } from '../../library/questions.js';
import type { PlanQuestion } from '../../library/types.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { numberOption } from '../settingOptions.js';
import { withModel } from '../withModel.js';

const columns: TableColumn<PlanRow>[] = [
    {
        title: 'of',
        value: (row) => (row.what === 'slope' ? `${row.response!.replace('_deg', '')} per mm` : 'share'),
    },
    { title: 'target', value: 'target' },
    { title: 'kit', value: 'kit' },
    { title: 'now', value: 'estimate', digits: 3 },
    { title: '+-', value: 'half_width', digits: 3 },
    { title: 'wanted +-', value: 'wanted_half_width', digits: 3 },
    { title: 'cars now', value: 'vehicle_count', digits: 0 },
    { title: 'needed', value: 'vehicles_needed', digits: 0 },
    { title: 'more', value: 'more_needed', digits: 0 },
    { title: 'remark', drop: 1, value: (row) => row.reason ?? '' },
];

export default {
    describe: 'how many cars tell a slope or a share to a stated width, and which reading helps most next',
    example: 'plan --chassis OTTER --target track',
    build(command, context) {
        command
            .requiredOption('--chassis <code>', 'platform to plan for')
            .option('--kit <id>', 'only the share of this kit')
            .option('--target <name>', 'only shares for this target')
            .addOption(
                numberOption(
                    '--slope-within <deg>',
                    'half-width wanted of a slope, deg/mm',
                    limits.slopeWithin,
                ).default(0.005),
            )
            .addOption(
                numberOption(
                    '--share-within <points>',
                    'half-width wanted of a share, percentage points',
                    limits.shareWithin,
                ).default(10),
            )
            .action(async (options: PlanQuestion) => {
                const { rows, notes } = await withModel(context, await plan(options));
                await context.output.result(rows, notes, columns, { lead: 2 });
            });
    },
} satisfies CommandModule;

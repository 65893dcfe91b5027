import type { ClockingRow } from '../../contracts/results/clocking.js';
import { clocking } from '../../library/questions.js';
import type { ClockingQuestion } from '../../library/types.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { stepOption, targetOption } from '../settingOptions.js';
import { withModel } from '../withModel.js';

/** Ways that people get as a table; --json has all. */
const shownCount = 4;

const columns: TableColumn<ClockingRow>[] = [
    { title: 'rank', value: 'rank', digits: 0 },
    { title: 'kit', value: 'kit' },
    { title: 'target', value: 'target' },
    { title: 'corner', value: 'corner' },
    { title: 'plate', value: 'plate_hand' },
    { title: 'index', value: 'plate_index', digits: 0 },
    { drop: 2, title: 'camber from', value: 'camber_min_deg', digits: 2 },
    { drop: 2, title: 'to', value: 'camber_max_deg', digits: 2 },
    { drop: 1, title: 'caster from', value: 'caster_min_deg', digits: 2 },
    { drop: 1, title: 'to', value: 'caster_max_deg', digits: 2 },
    { title: 'mark', value: 'mark_1', digits: 1 },
    { title: '2nd', value: 'mark_2', digits: 1 },
    { title: 'in tolerance', value: 'p_in_tolerance', digits: 2 },
    { drop: 5, title: 'spare mm', value: 'spare_mm', digits: 1 },
    { drop: 4, title: 'caster gained', value: 'caster_from_original_deg', digits: 2 },
    { drop: 3, title: 'note', value: 'note' },
];

export default {
    describe: 'which plate of the pair goes left and which right, and in which bolt position',
    example: 'clocking --vehicle "car 1" --kit AMBER-3 --target street',
    build(command, context) {
        command
            .option('--vehicle <id>', 'car that the kit goes into')
            .option('--chassis <code>', 'without a car: the median car of this chassis')
            .option('--kit <id>', 'kit whose plates are to be clocked; without it all that fit are compared')
            .addOption(targetOption())
            .addOption(stepOption())
            .option('--keep-caster', 'leave out settings with less caster than the original mount')
            .action(async (options: ClockingQuestion) => {
                const { rows, notes } = await withModel(context, await clocking(options));
                const all = context.options.json;
                await context.output.result(
                    all || options.kit === undefined ? rows : rows.filter((row) => row.rank <= shownCount),
                    [
                        ...notes.slice(0, -1),
                        ...(all || options.kit === undefined
                            ? []
                            : ['The best ways are shown; --json gives all.']),
                        ...notes.slice(-1),
                    ],
                    columns.filter(
                        ({ title }) =>
                            (title !== '2nd' || rows.some((row) => row.mark_2 !== null)) &&
                            (title !== 'kit' || options.kit === undefined),
                    ),
                    { lead: 1 },
                );
            });
    },
} satisfies CommandModule;

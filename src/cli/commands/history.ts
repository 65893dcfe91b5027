import type { HistoryRow } from '../../contracts/results/history.js';
import { history } from '../../library/questions.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { withModel } from '../withModel.js';

const metWords = { inside: 'yes', outside: 'no', undecided: 'not sure' } as const;

const columns: TableColumn<HistoryRow>[] = [
    { title: 'left on', value: 'left_on' },
    { title: 'visit', value: 'visit' },
    { title: 'corner', value: 'corner' },
    { drop: 3, title: 'kit', value: (row) => row.kit ?? 'original' },
    { drop: 2, title: 'plate', value: 'plate_hand' },
    { drop: 3, title: 'index', value: 'plate_index', digits: 0 },
    { title: 'mark', value: 'mark_1', digits: 1 },
    { title: '2nd', value: 'mark_2', digits: 1 },
    { title: 'camber', value: 'camber_deg', digits: 2 },
    { drop: 1, title: '95 % from', value: 'camber_low_deg', digits: 2 },
    { drop: 1, title: 'to', value: 'camber_high_deg', digits: 2 },
    { drop: 6, title: 'caster', value: 'caster_deg', digits: 2 },
    { drop: 5, title: 'toe', value: 'toe_deg', digits: 2 },
    { title: 'target', value: 'target' },
    { title: 'met', value: (row) => (row.met === null ? null : metWords[row.met]) },
    { drop: 4, title: 'now', value: (row) => (row.stands_now ? 'stands so' : '') },
];

export default {
    describe: 'the settings that a car can go back to: date, visit, marks, angles, target met or not',
    example: 'history --vehicle "car 1"',
    build(command, context) {
        command
            .requiredOption('--vehicle <id>', 'car whose settings are listed, newest first')
            .action(async (options: { vehicle: string }) => {
                const { rows, notes } = await withModel(context, await history(options));
                const shown = columns.filter(
                    ({ title }) => title !== '2nd' || rows.some((row) => row.mark_2 !== null),
                );
                await context.output.result(rows, notes, shown, { lead: 1 });
            });
    },
} satisfies CommandModule;

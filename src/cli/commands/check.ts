import type { CheckRow } from '../../contracts/results/check.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';

const columns: TableColumn<CheckRow>[] = [
    { title: 'check', value: (row) => row.check },
    { title: 'vehicle', value: (row) => row.vehicle },
    { title: 'corner', value: (row) => row.corner },
    { title: 'visit', value: (row) => row.visit },
    { title: 'finding', value: (row) => row.finding },
    { title: 'sure', value: (row) => row.p_mistake, digits: 2 },
    { title: 'where', value: (row) => (row.file === null ? null : `${row.file}:${row.line}`) },
];

export default {
    describe: 'what looks wrong in the accepted data, and how sure that is',
    build(command, context) {
        command.action(async () => {
            const { withModel } = await import('../withModel.js');
            const { check } = await import('../../model/check.js');
            const answer = await withModel(command, context, check);
            context.output(command).result('check', answer.rows, answer.notes, columns);
        });
    },
} satisfies CommandModule;

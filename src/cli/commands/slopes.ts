import type { CommandModule } from '../command.js';
import { slopeColumns } from '../slopeColumns.js';

export default {
    describe: 'how many degrees one millimetre of bearing offset is worth on each chassis',
    build(command, context) {
        command
            .option('--chassis <code>', 'only this chassis')
            .action(async (options: { chassis?: string }) => {
                const { withModel } = await import('../withModel.js');
                const { slopes, slopesNeeds } = await import('../../model/slopes.js');
                const answer = await withModel(command, context, (db) => slopes(db, options), {
                    needs: slopesNeeds,
                });
                context.output(command).result('slopes', answer.rows, answer.notes, slopeColumns);
            });
    },
} satisfies CommandModule;

import type { CommandModule } from '../command.js';
import { slopeColumns } from '../slopeColumns.js';

export default {
    describe: 'how many degrees one millimetre of bearing offset is worth on each chassis',
    example: 'slopes --chassis OTTER',
    build(command, context) {
        command
            .option('--chassis <code>', 'only this chassis')
            .action(async (options: { chassis?: string }) => {
                const { withModel } = await import('../withModel.js');
                const answer = await withModel(command, context, async () => {
                    const { slopes, slopesNeeds } = await import('../../model/slopes.js');
                    return { needs: slopesNeeds, ask: (db) => slopes(db, options) };
                });
                await context.output(command).result('slopes', answer.rows, answer.notes, slopeColumns);
            });
    },
} satisfies CommandModule;

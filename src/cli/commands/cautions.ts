import { cautions, estimateStatement } from '../../report/cautions.js';
import type { CommandModule } from '../command.js';

export default {
    describe: 'what to mind before and after work on a strut: springs, torques, clearances, the road',
    example: 'cautions',
    build(command, context) {
        command.action(async () => {
            const rows = Object.entries(cautions).map(([name, text]) => ({ name, text }));
            const { output } = context;
            await output.resultAsText(
                rows,
                [estimateStatement],
                rows.map(({ text }) => `- ${text}`).join('\n'),
            );
        });
    },
} satisfies CommandModule;

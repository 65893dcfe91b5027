import { checkFailed, showAllFindings } from '../../errors/messages.js';
import { check } from '../../library/questions.js';
import type { CommandModule } from '../command.js';
import { withModel } from '../withModel.js';

export default {
    describe: 'what looks wrong in the accepted data, and how sure that is',
    example: 'check',
    build(command, context) {
        command
            .option('--only <check>', 'only this check, by the name behind its title')
            .option('--all', 'every row, also what another finding explains or is likelier chance')
            .action(async (options: { only?: string; all?: boolean }) => {
                const { rows, notes, groups, failures } = await withModel(context, await check(options));
                const { isOpen } = await import('../../model/check.js');
                const { checkText } = await import('../checkText.js');
                const { quiet, json, debug } = context.options;
                const all = options.all === true;
                const hidden = !all && !json && !rows.every(isOpen);
                // That something is missing from the list is said whatever was asked for.
                const failed = quiet
                    ? failures.map(({ check: name, error }) => checkFailed(name, error.message))
                    : [];
                const text = [checkText(groups, { all, quiet }), ...failed]
                    .filter((part) => part !== '')
                    .join('\n\n');
                await context.output.resultAsText(rows, hidden ? [...notes, showAllFindings()] : notes, text);
                if (failures.length > 0) context.setExitCode(70);
                for (const { error } of debug ? failures : []) context.output.aside(String(error.stack));
            });
    },
} satisfies CommandModule;

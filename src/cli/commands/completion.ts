import { Argument, Option } from 'commander';
import { UsageError } from '../../errors/errors.js';
import { programName } from '../../errors/programName.js';
import { shellOrValues } from '../../errors/startMessages.js';
import type { CommandModule } from '../command.js';
import { flagsOf, fromDatabase, shells, treeOf } from '../completionScripts.js';

const sources = {
    vehicle: ['readings', 'vehicle'],
    kit: ['kits', 'kit'],
    target: ['targets', 'target'],
    chassis: ['readings', 'chassis'],
    shaft: ['shafts', 'shaft'],
    class: ['rules', 'class'],
} as const;

const howTo = () => `
Examples:
  ${programName()} completion bash >> ~/.bashrc
  ${programName()} completion zsh > ~/.zsh/_strutmark      with fpath=(~/.zsh $fpath) before compinit
  ${programName()} completion fish > ~/.config/fish/completions/strutmark.fish

The script completes the word strutmark; names of cars, kits and targets come from the database of the folder, or of --db.`;

export default {
    describe: 'a script that completes commands, options and names in bash, zsh or fish',
    example: 'completion bash',
    build(command, context) {
        command
            .addArgument(new Argument('[shell]', 'shell').choices(Object.keys(shells)))
            .addOption(
                new Option(
                    '--values <kind>',
                    'names that the database holds, one a line, as the scripts ask',
                ).choices(fromDatabase),
            )
            .addHelpText('after', howTo())
            .action(
                async (
                    shell: keyof typeof shells | undefined,
                    { values }: { values?: keyof typeof sources },
                ) => {
                    if ((shell === undefined) === (values === undefined))
                        throw new UsageError(shellOrValues());
                    const output = context.output(command);
                    if (shell !== undefined) {
                        const text = shells[shell](
                            'strutmark',
                            treeOf(command.parent!),
                            flagsOf(command.parent!),
                        );
                        if (context.options(command).json)
                            await output.result('completion', [{ shell, text }], [], []);
                        else output.document(text.trimEnd());
                        return;
                    }
                    const { openDatabase } = await import('../../db/openDatabase.js');
                    const { knownNames } = await import('../../model/names.js');
                    const { opening } = await import('../opening.js');
                    const db = await openDatabase({
                        file: context.options(command).db,
                        mode: 'read',
                        ...opening(command, context),
                    });
                    try {
                        const [table, column] = sources[values!];
                        const names = await knownNames(db, table, column);
                        const rows = names.map((text) => ({ shell: null, text }));
                        if (context.options(command).json) await output.result('completion', rows, [], []);
                        else if (names.length > 0) output.document(names.join('\n'));
                    } finally {
                        db.close();
                    }
                },
            );
    },
} satisfies CommandModule;

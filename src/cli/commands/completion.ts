import { Argument, Option } from 'commander';
import { UsageError } from '../../errors/errors.js';
import { programName } from '../../errors/programName.js';
import { shellOrValues } from '../../errors/startMessages.js';
import type { CommandModule } from '../command.js';
import { type NameKind, nameKinds, nameTables, shells } from '../completionScripts.js';
import { withDatabase } from '../withDatabase.js';

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
                ).choices(nameKinds),
            )
            .addHelpText('after', howTo())
            .action(async (shell: keyof typeof shells | undefined, { values }: { values?: NameKind }) => {
                if ((shell === undefined) === (values === undefined)) throw new UsageError(shellOrValues());
                const { output, options } = context;
                if (shell !== undefined) {
                    const text = shells[shell](command.parent!);
                    if (options.json) await output.result([{ shell, text }], [], []);
                    else output.document(text.trimEnd());
                    return;
                }
                const { knownNames } = await import('../../model/names.js');
                const names = await withDatabase(context, 'read', (db) =>
                    knownNames(db, nameTables[values!], values!),
                );
                const rows = names.map((text) => ({ shell: null, text }));
                if (options.json) await output.result(rows, [], []);
                else if (names.length > 0) output.document(names.join('\n'));
            });
    },
} satisfies CommandModule;

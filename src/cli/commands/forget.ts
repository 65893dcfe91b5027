import type { VoidingRow } from '../../contracts/results/forget.js';
import { UsageError } from '../../errors/errors.js';
import {
    dryRunDone,
    forgetWhat,
    notBoth,
    noVoidings,
    voidingNumber,
    voidingsListed,
} from '../../errors/messages.js';
import { programName } from '../../errors/programName.js';
import type { CommandModule } from '../command.js';
import { forgottenColumns, leftOut, shownRows } from '../forgottenColumns.js';
import type { TableColumn } from '../output.js';
import { repeatedOption } from '../settingOptions.js';
import { withDatabase } from '../withDatabase.js';

const voidingColumns: TableColumn<VoidingRow>[] = [
    { title: 'voiding', value: 'voiding_id', digits: 0 },
    { title: 'when (UTC)', value: 'voided_at' },
    { title: 'by', value: 'voided_by' },
    { title: 'because', value: 'because' },
    { title: 'asked', value: 'asked' },
    { title: 'rows', value: 'row_count', digits: 0 },
    { title: 'brought back', value: 'brought_back_count', digits: 0 },
];

const examples = () => `
More examples:
  ${programName()} forget --dry-run readings.csv                                list what would go
  ${programName()} forget readings.csv:12 --because "copied from the other side"
  ${programName()} forget readings.csv:12-20 --because "wrong car" --by Kim
  ${programName()} forget 3 --because "loaded by mistake"                       load 3, as export loads shows it
  ${programName()} forget --where vehicle=OTER-1 --because "name mistyped"
  ${programName()} forget --kind kits --where kit=K1 --because "never built"
  ${programName()} forget                                                       what was voided, by whom and why
  ${programName()} forget --bring-back 2
Voided rows count nowhere. They stay in the tables readings_voided, kits_voided, ..., which export writes.`;

interface Options {
    where: string[];
    kind?: string;
    by?: string;
    because?: string;
    bringBack: string[];
    dryRun?: true;
}

function numberOf(text: string): number {
    if (!/^[1-9]\d{0,8}$/.test(text)) throw new UsageError(voidingNumber(text));
    return Number(text);
}

export default {
    describe: 'take rows back that should not count, and bring them back; without arguments, what was voided',
    example: 'forget readings.csv:12 --because "copied from the other side" --dry-run',
    build(command, context) {
        command
            .argument(
                '[rows...]',
                'FILE, FILE:LINE or FILE:FIRST-LAST as check and rejects print them; the number of a load may stand for FILE',
            )
            .addOption(
                repeatedOption(
                    '--where <column=value>',
                    'rows with this value, of these files or of all; may be given several times',
                ),
            )
            .option('--kind <kind>', 'kind of the rows, where no file tells it; default readings')
            .option('--because <reason>', 'why the rows go')
            .option('--by <name>', "who takes them out or brings them back; default the system's user name")
            .addOption(
                repeatedOption(
                    '--bring-back <voiding>',
                    'put the rows of this voiding back, by its number in the list',
                ),
            )
            .option('--dry-run', 'list what would happen and change nothing')
            .addHelpText('after', examples())
            .action(async (targets: string[], options: Options) => {
                const { where, kind, bringBack, dryRun = false } = options;
                const asks = targets.length + where.length > 0;
                if (asks && bringBack.length > 0) throw new UsageError(notBoth());
                const lists = !asks && bringBack.length === 0;
                if (lists && (kind ?? options.because ?? options.by ?? options.dryRun) !== undefined)
                    throw new UsageError(forgetWhat());
                const { personOf, reasonOf } = await import('../reason.js');
                const ids = bringBack.map(numberOf);
                const reason = asks ? reasonOf(options, dryRun) : null;
                const { forget, unforget } = await import('../../load/forget/forget.js');
                const { listVoidings } = await import('../../load/forget/voidings.js');
                if (lists) {
                    const rows = await withDatabase(context, 'read', listVoidings);
                    const note = rows.length === 0 ? noVoidings() : voidingsListed();
                    return await context.output.result(rows, [note], voidingColumns);
                }
                const { rows, notes } = await withDatabase(context, 'write', (db) =>
                    reason === null
                        ? unforget(db, ids, personOf(options.by), dryRun)
                        : forget(db, { targets, where, kind }, reason, dryRun),
                );
                const { json } = context.options;
                const said = [...leftOut(rows, json), ...notes, ...(dryRun ? [dryRunDone()] : [])];
                await context.output.result(shownRows(rows, json), said, forgottenColumns);
                if (rows.some(({ status }) => status === 'key taken')) context.setExitCode(1);
            });
    },
} satisfies CommandModule;

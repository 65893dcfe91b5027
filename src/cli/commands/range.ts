import type { RangeRow } from '../../contracts/results/range.js';
import { range } from '../../library/questions.js';
import type { RangeQuestion } from '../../library/types.js';
import { hundred } from '../../units/percent.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { withModel } from '../withModel.js';

const columns: TableColumn<RangeRow>[] = [
    { title: 'chassis', value: 'chassis' },
    { title: 'target', value: 'target' },
    { title: 'kit', value: 'kit' },
    { title: 'index', value: (row) => (row.plate_index === null ? 'best' : String(row.plate_index)) },
    { title: 'hand', value: (row) => row.plate_hand ?? '' },
    { title: 'corners', value: 'corner_count', digits: 0 },
    { title: 'reached %', value: (row) => hundred(row.share_reachable), digits: 0 },
    { title: '95 % from', value: (row) => hundred(row.conf_low), digits: 0 },
    { title: 'to', value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'out mean', value: 'need_out_mean_mm', digits: 1 },
    { title: 'cars from', value: 'need_out_low_mm', digits: 1 },
    { title: 'to mm', value: 'need_out_high_mm', digits: 1 },
    { title: 'aft mean', value: 'need_aft_mean_mm', digits: 1 },
    { title: 'cars from', value: 'need_aft_low_mm', digits: 1 },
    { title: 'to mm', value: 'need_aft_high_mm', digits: 1 },
    { title: 'slot mm', value: 'half_length_mm', digits: 1 },
    { title: 'for 90 %', value: 'half_length_90_mm', digits: 1 },
    { title: '95 %', value: 'half_length_95_mm', digits: 1 },
    { title: '99 %', value: 'half_length_99_mm', digits: 1 },
    { title: 'a mark, deg', value: 'mark_step_deg', digits: 2 },
    { title: 'used', value: 'used_count', digits: 0 },
];

/** Longest table that people get with every index. */
const listedCount = 60;

export default {
    describe: 'what offset range the field needs, what share a kit reaches, and what slot would reach more',
    example: 'range --chassis OTTER --target track',
    build(command, context) {
        command
            .option('--chassis <code>', 'only this chassis')
            .option('--kit <id>', 'only this kit')
            .option('--target <name>', 'only this target')
            .option(
                '--class <name>',
                "class of the rules file: on how many cars an inspector's gauge would read over it",
            )
            .action(async (options: RangeQuestion) => {
                const { rows, notes } = await withModel(context, await range(options));
                const { rangeAnswers } = await import('../../model/rangeNotes.js');
                const all = context.options.json || rows.length <= listedCount;
                const shown = all ? rows : rows.filter((row) => row.plate_index === null);
                const said = all
                    ? notes
                    : [
                          ...notes,
                          'Only the best indices are listed: name --chassis, --kit or --target, or ask for --json, to see each.',
                      ];
                await context.output.result(shown, said, columns, {
                    lead: rangeAnswers(rows).length + (options.class === undefined ? 0 : 1),
                });
            });
    },
} satisfies CommandModule;

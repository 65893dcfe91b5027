import type { StackRow } from '../../contracts/results/stack.js';
import { limits } from '../../library/limits.js';
import { stack } from '../../library/questions.js';
import type { StackQuestion } from '../../library/types.js';
import { stackRules } from '../../model/stackRules.js';
import { pieceWords } from '../../units/pieceWords.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { numberOption, repeatedOption } from '../settingOptions.js';
import { withModel } from '../withModel.js';

const columns: TableColumn<StackRow>[] = [
    { title: 'rank', value: 'rank', digits: 0 },
    { title: 'shaft', value: 'shaft' },
    { title: 'sound', value: 'sound' },
    { title: 'clamped mm', value: 'clamped_length_mm', digits: 2 },
    { title: 'over shoulder', value: 'shoulder_margin_mm', digits: 2 },
    { title: 'at worst', value: 'shoulder_margin_low_mm', digits: 2 },
    { title: 'thread in nut', value: 'thread_engaged_mm', digits: 2 },
    { title: 'thread shown', value: 'thread_shown_mm', digits: 2 },
    { title: 'at worst', value: 'thread_shown_low_mm', digits: 2 },
    { title: 'clearance', value: 'clearance_mm', digits: 2 },
    { title: 'at worst', value: 'clearance_low_mm', digits: 2 },
    { title: 'plate', value: (row) => (row.spring_plate === 'kit' ? 'box' : "car's own") },
    { title: 'parts from the seat upward', value: (row) => pieceWords(row.parts) },
    { title: 'missing', value: 'missing' },
];

export default {
    describe: 'which parts of a box go on a strut shaft, in which order, and whether the dry stack is sound',
    example: 'stack --kit AMBER-3 --shaft S14-36',
    build(command, context) {
        command
            .requiredOption('--kit <id>', 'kit whose box it is, as the hardware file names it')
            .option('--shaft <id>', 'shaft that the stack goes on; none = which shafts the box serves')
            .addOption(
                numberOption(
                    '--keep-spring-plate [mm]',
                    "the car's own spring plate goes on; it adds MM between seat and nut face (0 where not told)",
                    limits.keepSpringPlate,
                ),
            )
            .addOption(
                repeatedOption(
                    '--set <name=value>',
                    'change a rule, listed below; may be given several times',
                ),
            )
            .addOption(
                numberOption('--limit <n>', 'stacks listed for a shaft', limits.stackLimit).default(10),
            )
            .addHelpText('after', () =>
                [
                    '\nRules for --set:',
                    ...stackRules().map(
                        ({ name, unit, description }) =>
                            `  ${name}${unit === null ? '' : ` (${unit})`}: ${description}`,
                    ),
                ].join('\n'),
            )
            .action(async (options: StackQuestion) => {
                const { rows, notes } = await withModel(context, await stack(options));
                const dropped = [
                    options.shaft === undefined ? 'rank' : 'shaft',
                    ...(rows.some(({ spring_plate }) => spring_plate === 'car') ? [] : ['plate']),
                    ...(rows.some(({ sound }) => !sound) ? [] : ['missing']),
                ];
                await context.output.result(
                    rows,
                    notes,
                    columns.filter(({ title }) => !dropped.includes(title)),
                );
            });
    },
} satisfies CommandModule;

import { Argument, Option } from 'commander';
import { report } from '../../library/questions.js';
import type { ReportQuestion } from '../../library/types.js';
import { pageNames } from '../../report/registry.js';
import type { CommandModule } from '../command.js';
import { repeatedOption } from '../settingOptions.js';
import { tieRodOptions } from '../tieRodOptions.js';
import { withModel } from '../withModel.js';

export default {
    describe: 'pages with the pictures: one self-contained file each, or all of them',
    example: 'report slopes --out pages',
    build(command, context) {
        const names = new Argument(
            '[names...]',
            'pages to write; none = all. sheet, only by name, takes readings at the car',
        );
        // Not by choices(): what is no page gets a sentence of ours.
        names.argChoices = pageNames();
        command
            .addArgument(names)
            .requiredOption('--out <dir>', 'folder for the pages; made when missing')
            .addOption(
                new Option(
                    '--format <format>',
                    'pages, or their pictures alone: svg and png need no browser, vl.json is Vega-Lite with its rows',
                )
                    .choices(['html', 'svg', 'png', 'vl.json'])
                    .default('html'),
            )
            .addOption(
                repeatedOption(
                    '--vehicle <id>',
                    'car, card, clocking, drift: only this car; sheet: give it for each car',
                ),
            )
            .option(
                '--chassis <code>',
                'clocking: the median car of this chassis; range: only this one; sheet: its cars',
            )
            .option(
                '--kit <id>',
                'clocking, range: kit whose plates are shown; stack: only its box; sheet: cars that carry it',
            )
            .option('--shaft <id>', 'stack: only this shaft')
            .addOption(
                repeatedOption(
                    '--target <name>',
                    'card, clocking, range: target; card, clocking: give it twice for two',
                ),
            )
            .option('--anonymous', 'audit: numbers for the names of technicians');
        for (const option of tieRodOptions('card: ')) command.addOption(option);
        command.action(async (names: string[], options: ReportQuestion) => {
            const rows = await withModel(context, await report(names, options));
            await context.output.result(
                rows,
                [],
                [
                    { title: 'page', value: 'name' },
                    { title: 'file', value: 'file' },
                    { title: 'kB', value: (row) => row.bytes / 1000, digits: 0 },
                ],
            );
        });
    },
} satisfies CommandModule;

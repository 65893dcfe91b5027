import { Argument, Option } from 'commander';
import type { Database } from '../../db/database.js';
import { UsageError } from '../../errors/errors.js';
import { oneCarOnly, sheetIsPage } from '../../errors/sheetMessages.js';
import { pageNames } from '../../report/registry.js';
import type { CommandModule } from '../command.js';
import { oneOrTwoTargets, repeatedOption } from '../settingOptions.js';
import { requireWhole, type TieRod, tieRodOptions } from '../tieRodOptions.js';

interface Options extends TieRod {
    out: string;
    format: 'html' | 'svg' | 'png' | 'vl.json';
    vehicle: string[];
    chassis?: string;
    kit?: string;
    shaft?: string;
    target: string[];
    anonymous?: true;
}

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
                    'card, clocking, drift: only this car; sheet: give it for each car',
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
        command.action(async (names: string[], options: Options) => {
            const { withModel } = await import('../withModel.js');
            const { reportQueries } = await import('../../report/registry.js');
            const { requireName } = await import('../../model/names.js');
            const sheet = names.includes('sheet') ? await import('../../sheet/writeSheet.js') : null;
            const { vehicle: vehicles, chassis, kit, shaft, target } = options;
            const pages = names.filter((name) => name !== 'sheet');
            const onlySheet = sheet !== null && pages.length === 0;
            if (vehicles.length > 1 && !onlySheet) throw new UsageError(oneCarOnly());
            if (sheet !== null && options.format !== 'html') throw new UsageError(sheetIsPage());
            requireWhole(options);
            if (target.length > 0) oneOrTwoTargets('report', target);
            const choice = {
                vehicle: vehicles[0],
                chassis,
                kit,
                shaft,
                target: target[0],
                target_2: target[1],
                anonymous: options.anonymous,
                arm_mm: options.armLength,
                turn_mm: options.threadPitch && options.threadPitch * (options.bothThreads ? 2 : 1),
            };
            const ask = async (db: Database) => {
                for (const vehicle of vehicles) await requireName(db, 'readings', 'vehicle', vehicle);
                if (chassis !== undefined) await requireName(db, 'readings', 'chassis', chassis);
                if (kit !== undefined) {
                    await requireName(
                        db,
                        '(select kit from kits union select kit from hardware)',
                        'kit',
                        kit,
                    );
                }
                if (shaft !== undefined) await requireName(db, 'shafts', 'shaft', shaft);
                for (const name of target) await requireName(db, 'targets', 'target', name);
                if (options.format === 'html') {
                    const { writeReports } = await import('../../report/writeReports.js');
                    const written = onlySheet ? [] : await writeReports(db, pages, options.out, choice);
                    return sheet === null
                        ? written
                        : [...written, await sheet.writeSheet(db, options.out, { vehicles, chassis, kit })];
                }
                const { writeImages } = await import('../../report/image/writeImages.js');
                return writeImages(db, names, options.out, options.format, choice);
            };
            const needs = [...(onlySheet ? [] : reportQueries(pages)), ...(sheet?.sheetNeeds ?? [])];
            const rows = await withModel(command, context, async () => ({ needs, ask }));
            await context.output(command).result(
                'report',
                rows,
                [],
                [
                    { title: 'page', value: (row) => row.name },
                    { title: 'file', value: (row) => row.file },
                    { title: 'kB', value: (row) => row.bytes / 1000, digits: 0 },
                ],
            );
        });
    },
} satisfies CommandModule;

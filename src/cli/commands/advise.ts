import { Option } from 'commander';
import type { AdviseRow } from '../../contracts/results/advise.js';
import { UsageError } from '../../errors/errors.js';
import { nothingAsked } from '../../errors/messages.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { cautionNote, numberOption, oneOrTwoTargets, repeatedOption } from '../settingOptions.js';

const columns: TableColumn<AdviseRow>[] = [
    { title: 'target', value: (row) => row.target },
    { title: 'corner', value: (row) => row.corner },
    { title: 'plate', value: (row) => row.plate_hand },
    { title: 'index', value: (row) => row.plate_index, digits: 0 },
    { title: 'mark', value: (row) => row.mark_1, digits: 1 },
    { title: '2nd', value: (row) => row.mark_2, digits: 1 },
    { title: 'out mm', value: (row) => row.move_out_mm, digits: 1 },
    { title: 'aft mm', value: (row) => row.move_aft_mm, digits: 1 },
    { title: 'camber', value: (row) => row.camber_deg, digits: 2 },
    { title: '95 % from', value: (row) => row.camber_low_deg, digits: 2 },
    { title: 'to', value: (row) => row.camber_high_deg, digits: 2 },
    { title: 'caster', value: (row) => row.caster_deg, digits: 2 },
    { title: '95 % from', value: (row) => row.caster_low_deg, digits: 2 },
    { title: 'to', value: (row) => row.caster_high_deg, digits: 2 },
    { title: 'in tolerance', value: (row) => row.p_in_tolerance, digits: 2 },
];

function shown(rows: readonly AdviseRow[]): TableColumn<AdviseRow>[] {
    const twoScales = rows.some((row) => row.mark_2 !== null);
    return columns.filter(({ title }) => twoScales || title !== '2nd');
}

interface Options {
    vehicle?: string;
    target: string[];
    kit?: string;
    index?: number;
    hand?: 'own' | 'other';
    anyIndex?: true;
    step: number;
    toeDiameter?: number;
    from: string[];
    chassis?: string;
}

export default {
    describe: 'where to put the bearings for a target or two, what angles to expect, what toe to put back',
    example: 'advise --vehicle "car 1" --target street --target track',
    build(command, context) {
        command
            .option('--vehicle <id>', 'car whose newest readings are asked about')
            .addOption(
                repeatedOption(
                    '--target <name>',
                    'target to meet; give it twice for two, such as street and track',
                ),
            )
            .addOption(
                numberOption('--step <marks>', 'steps in which the pointers can be set', [0.1, 10]).default(
                    0.5,
                ),
            )
            .option('--any-index', 'look over all bolt positions and both plates, not only as they sit now')
            .addOption(
                numberOption(
                    '--toe-diameter <mm>',
                    'give the toe to put back in mm at this diameter too',
                    [1, 2000],
                ),
            )
            .option('--kit <id>', 'kit to fit instead of the present mounts')
            .addOption(numberOption('--index <n>', 'bolt position to ask about', [1, 12], true))
            .addOption(
                new Option(
                    '--hand <which>',
                    'each side takes the plate of its own hand, or the other',
                ).choices(['own', 'other']),
            )
            .addOption(
                repeatedOption(
                    '--from <corner=camber,caster[,out,aft]>',
                    'told angles (deg) and bearing offset (mm; none = original mount) of FL or FR instead of stored readings',
                ),
            )
            .option('--chassis <code>', 'with --from: chassis whose degrees per mm count')
            .action(async (options: Options) => {
                const { withModel } = await import('../withModel.js');
                const { parseGivenCorners } = await import('../../model/givenCorner.js');
                const targets = oneOrTwoTargets('advise', options.target);
                const from = parseGivenCorners(options.from);
                if (options.vehicle === undefined && from.length === 0) {
                    throw new UsageError(
                        nothingAsked('advise', '--vehicle NAME, or --from CORNER=CAMBER,CASTER --kit NAME'),
                    );
                }
                const question = { ...options, targets, from, toeDiameter_mm: options.toeDiameter };
                const answer = await withModel(command, context, async () => {
                    const { advise, adviseNeeds } = await import('../../model/advise.js');
                    return { needs: adviseNeeds, ask: (db) => advise(db, question) };
                });
                await context
                    .output(command)
                    .result('advise', answer.rows, [...answer.notes, cautionNote()], shown(answer.rows));
            });
    },
} satisfies CommandModule;

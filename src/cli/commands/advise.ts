import { Option } from 'commander';
import type { AdviseRow } from '../../contracts/results/advise.js';
import { programName } from '../../errors/programName.js';
import { limits } from '../../library/limits.js';
import { advise } from '../../library/questions.js';
import type { AdviseQuestion } from '../../library/types.js';
import { mostDirections } from '../../units/mostDirections.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { numberOption, repeatedOption, stepOption, targetOption } from '../settingOptions.js';
import { tieRodOptions } from '../tieRodOptions.js';
import { withModel } from '../withModel.js';

const columns: TableColumn<AdviseRow>[] = [
    { title: 'target', value: 'target' },
    { title: 'corner', value: 'corner' },
    { title: 'plate', drop: 4, value: 'plate_hand' },
    { title: 'index', drop: 4, value: 'plate_index', digits: 0 },
    { title: 'mark', value: 'mark_1', digits: 1 },
    { title: '2nd', value: 'mark_2', digits: 1 },
    { title: 'out mm', drop: 3, value: 'move_out_mm', digits: 1 },
    { title: 'aft mm', drop: 3, value: 'move_aft_mm', digits: 1 },
    { title: 'camber by', drop: 5, value: 'camber_change_deg', digits: 2 },
    { title: 'caster by', drop: 2, value: 'caster_change_deg', digits: 2 },
    { title: 'camber', value: 'camber_deg', digits: 2 },
    { drop: 6, title: '95 % from', value: 'camber_low_deg', digits: 2 },
    { drop: 6, title: 'to', value: 'camber_high_deg', digits: 2 },
    { title: 'caster', value: 'caster_deg', digits: 2 },
    { drop: 1, title: '95 % from', value: 'caster_low_deg', digits: 2 },
    { drop: 1, title: 'to', value: 'caster_high_deg', digits: 2 },
    { title: 'in tolerance', value: 'p_in_tolerance', digits: 2 },
];

function shown(rows: readonly AdviseRow[]): TableColumn<AdviseRow>[] {
    const hidden = new Set([
        ...(rows.some((row) => row.mark_2 !== null) ? [] : ['2nd']),
        ...(rows[0]?.asked === 'target' ? ['camber by', 'caster by'] : ['target']),
        ...(rows.some((row) => row.p_in_tolerance !== null) ? [] : ['in tolerance']),
    ]);
    return columns.filter(({ title }) => !hidden.has(title));
}

const moreExamples = () => `
More examples:
  ${programName()} advise --vehicle "car 1" --change camber=-0.5            half a degree more negative on both fronts
  ${programName()} advise --vehicle "car 1" --change FL.camber=0.2          one side
  ${programName()} advise --vehicle "car 1" --equal camber,caster           both sides the same
  ${programName()} advise --vehicle "car 1" --most negative-camber --lose 0.3 --margin 1
  ${programName()} advise --vehicle "car 1" --back-to 2026-06-08            as it was left by then; history lists the visits
  ${programName()} advise --vehicle "car 1" --target track --toe-diameter 600 --thread-pitch 1.5 --arm-length 110`;

export default {
    describe:
        'where to put the bearings for a target, a change, equal sides or an earlier setting; angles to expect, toe to put back',
    example: 'advise --vehicle "car 1" --target street --target track',
    build(command, context) {
        command
            .option('--vehicle <id>', 'car whose newest readings are asked about')
            .addOption(targetOption())
            .addOption(
                repeatedOption(
                    '--change <angle=deg>',
                    'change to make instead: camber=-0.5 (negative = top inboard) or caster=0.3 on both fronts, FL.camber=-0.5 on one; several may be given',
                ),
            )
            .option(
                '--equal [angles]',
                'bring left and right to the same camber; caster or camber,caster for others',
            )
            .addOption(
                new Option('--most <direction>', 'as far as it goes in one angle').choices(mostDirections),
            )
            .addOption(
                numberOption(
                    '--lose <deg>',
                    'with --most: what the other angle may lose (caster: less; camber: either way)',
                    limits.lose,
                ),
            )
            .addOption(
                numberOption(
                    '--margin <marks>',
                    'with --most: marks to keep free before an end of the scale',
                    limits.margin,
                ),
            )
            .addOption(
                numberOption(
                    '--limit <deg>',
                    'with --most: what the true angle must not pass (limit of a class), 95 % sure',
                    limits.limit,
                ),
            )
            .option(
                '--class <name>',
                "class of the rules file: how likely an inspector's gauge reads over its limits; --most keeps to them, 95 % sure",
            )
            .option(
                '--back-to <visit>',
                'the setting as a visit left it, or a day (YYYY-MM-DD) for the newest left by then; history lists them',
            )
            .addOption(
                numberOption(
                    '--within <deg>',
                    'how near counts as reached with --change, --equal and --back-to; default 0.1 camber, 0.3 caster',
                    limits.within,
                ),
            )
            .addOption(stepOption())
            .option('--any-index', 'look over all bolt positions and both plates, not only as they sit now')
            .addOption(
                numberOption(
                    '--toe-diameter <mm>',
                    'give the toe to put back in mm at this diameter too',
                    limits.toeDiameter,
                ),
            )
            .option('--kit <id>', 'kit to fit instead of the present mounts')
            .addOption(numberOption('--index <n>', 'bolt position to ask about', limits.index))
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
            .addHelpText('after', moreExamples());
        for (const option of tieRodOptions()) command.addOption(option);
        command.action(async (options: AdviseQuestion) => {
            const answer = await withModel(context, await advise(options));
            await context.output.result(answer.rows, answer.notes, shown(answer.rows), { lead: answer.lead });
        });
    },
} satisfies CommandModule;

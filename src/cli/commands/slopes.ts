import type { MarkRow } from '../../contracts/results/slopes.js';
import { slopes } from '../../library/questions.js';
import type { CommandModule } from '../command.js';
import { part, type TableColumn } from '../output.js';
import { slopeColumns } from '../slopeColumns.js';
import { withModel } from '../withModel.js';

const markColumns: TableColumn<MarkRow>[] = [
    { title: 'kit', value: 'kit' },
    { title: 'index', value: 'plate_index', digits: 0 },
    { title: 'scale', value: 'scale', digits: 0 },
    { title: 'out mm', value: 'out_mm', digits: 2 },
    { title: 'aft mm', value: 'aft_mm', digits: 2 },
    { title: 'camber deg', value: 'camber_deg', digits: 3 },
    { title: 'caster deg', value: 'caster_deg', digits: 3 },
    { title: 'toe deg', value: 'toe_deg', digits: 3 },
];

export default {
    describe:
        'how many degrees one millimetre of bearing offset is worth on each chassis, and one mark of each kit',
    example: 'slopes --chassis OTTER',
    build(command, context) {
        command
            .option('--chassis <code>', 'only this chassis')
            .action(async (options: { chassis?: string }) => {
                const answer = await withModel(context, await slopes(options));
                const all = context.options.json;
                const marks =
                    options.chassis === undefined ? [] : answer.marks.filter(({ hand }) => hand === 'own');
                await context.output.result(answer.rows, answer.notes, slopeColumns, {
                    parts: [part('marks', 'One mark up', all ? answer.marks : marks, markColumns)],
                });
            });
    },
} satisfies CommandModule;

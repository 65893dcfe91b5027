import type { Block, Section } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { answer, headline } from './answer.js';
import { cloudDrawing, cloudLegend } from './cloudDrawing.js';
import { coverageLegend, coveragePlot } from './coveragePlot.js';
import { designPlot } from './designPlot.js';
import { endsPlots } from './endsPlot.js';
import { findings } from './findings.js';
import { method } from './method.js';
import { picture } from './picture.js';
import { drawnGroups, groupRows, type Rows, schemas } from './rows.js';
import { indexTable, needsTable, reachTable } from './tables.js';
import { whatIf } from './whatIf.js';

const present = (blocks: readonly (Block | null)[]) => blocks.filter((block) => block !== null);

function sections(rows: Rows): Section[] {
    if (groupRows(rows).length === 0) return [];
    const drawn = drawnGroups(rows);
    const question = whatIf(rows);
    const ends = endsPlots(rows);
    const named: Section[] = [
        { title: 'What the field needs', blocks: [needsTable(rows)] },
        {
            title: 'How long a slot reaches how many',
            blocks: [
                { kind: 'legend', entries: coverageLegend(rows) },
                ...drawn.map((group) => coveragePlot(rows, group)),
                reachTable(rows),
            ],
        },
        {
            title: 'Needed offsets in plan view',
            blocks: [
                {
                    kind: 'paragraph',
                    text: 'One strut top seen from above, outboard to the right and rearward down; left and right corners are mirrored into one picture. The cross in the middle is the bearing of the original mount.',
                },
                { kind: 'legend', entries: cloudLegend },
                ...present(drawn.map((group) => cloudDrawing(rows, group))),
            ],
        },
        {
            title: 'What if the plate were another',
            blocks: present([
                {
                    kind: 'paragraph',
                    text: 'The sliders change the plate of a kit; share and picture are counted anew from the corners above. The interval keeps the number of independent corners of the kit as it is.',
                },
                question,
            ]),
        },
        {
            title: 'Where to put the slot',
            blocks: [
                {
                    kind: 'paragraph',
                    text: 'The same with one thing changed at a time, for the kit that most corners carry; the dashed line is the plate as it is.',
                },
                ...present(
                    drawn.flatMap((group) =>
                        (['middle out', 'middle aft', 'angle'] as const).map((variant) =>
                            designPlot(rows, group, variant),
                        ),
                    ),
                ),
            ],
        },
        {
            title: 'Marks, indices and ends',
            blocks: [...ends, indexTable(rows)],
        },
    ];
    return question === null
        ? named.filter(({ title }) => title !== 'What if the plate were another')
        : named;
}

export default defineReport({
    title: 'Range',
    question:
        'Where does the bearing have to go on the cars out there to hit their targets, what share of them does each kit reach, and what plate would reach more?',
    group: 'maker',
    rows: schemas,
    headline,
    picture,
    answer,
    findings,
    sections,
    method,
});

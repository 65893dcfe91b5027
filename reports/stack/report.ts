import { stackMissing } from '../../src/model/stackWords.js';
import type { Block, Column, Section } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { pieceWords } from '../../src/units/pieceWords.js';
import { answer, headline } from './answer.js';
import { findings } from './findings.js';
import { limitsLegend, limitsPlot } from './limitsPlot.js';
import { method } from './method.js';
import { picture } from './picture.js';
import { drawnStacks, type Part, type Rows, type Stack, schemas } from './rows.js';
import { sideView } from './sideView.js';

const lengthColumns: Column<Stack>[] = [
    { title: 'box', value: (row) => row.kit },
    { title: 'shaft', value: (row) => row.shaft },
    { title: 'sound', value: (row) => row.sound },
    { title: 'clamped', value: (row) => row.clamped_length_mm, digits: 2 },
    { title: 'above the shoulder', value: (row) => row.shoulder_margin_mm, digits: 2 },
    { title: 'at worst', value: (row) => row.shoulder_margin_low_mm, digits: 2 },
    { title: 'thread in nut', value: (row) => row.thread_engaged_mm, digits: 2 },
    { title: 'thread shown', value: (row) => row.thread_shown_mm, digits: 2 },
    { title: 'at worst', value: (row) => row.thread_shown_low_mm, digits: 2 },
    { title: 'clearance', value: (row) => row.clearance_mm, digits: 2 },
    { title: 'at worst', value: (row) => row.clearance_low_mm, digits: 2 },
    { title: 'plate to bearing', value: (row) => row.plate_to_bearing_mm, digits: 2 },
];

const orderColumns: Column<Stack>[] = [
    { title: 'box', value: (row) => row.kit },
    { title: 'shaft', value: (row) => row.shaft },
    { title: 'parts from the seat upward', value: (row) => pieceWords(row.parts) },
    { title: 'spring plate', value: (row) => (row.spring_plate === 'kit' ? 'of the box' : 'the car’s own') },
    { title: 'missing', value: stackMissing },
];

const partColumns: Column<Part>[] = [
    { title: 'box', value: (row) => row.kit },
    { title: 'part', value: (row) => row.part },
    { title: 'role', value: (row) => row.role.replaceAll('_', ' ') },
    { title: 'bore, mm', value: (row) => row.fits_diameter_mm, digits: 1 },
    { title: 'height, mm', value: (row) => row.height_mm, digits: 2 },
    { title: '±', value: (row) => row.height_tol_mm, digits: 2 },
    { title: 'pieces', value: (row) => row.part_count },
    { title: 'required', value: (row) => row.required },
    { title: 'shafts it goes on', value: (row) => row.fits_count },
    { title: 'with a sound stack', value: (row) => row.sound_count },
    { title: 'in the best one', value: (row) => row.best_count },
    { title: 'pieces in the smallest box', value: (row) => row.smallest_count },
];

function drawings(rows: Rows): Block[] {
    return drawnStacks(rows).map((stack) =>
        sideView(
            stack,
            rows.layers.filter(({ kit, shaft }) => kit === stack.kit && shaft === stack.shaft),
        ),
    );
}

function sections(rows: Rows): Section[] {
    if (rows.stacks.length === 0) return [];
    const plots = (['margin', 'thread', 'clearance'] as const).flatMap((measure) =>
        limitsPlot(rows, measure),
    );
    return [
        {
            title: 'The best stacks',
            blocks: [
                {
                    kind: 'paragraph' as const,
                    text: 'Heights and the shaft are to scale, widths are not known and only tell the roles apart. Dashed: the mount pressed down by the loaded spring, and the car’s own spring plate where the box gives none. Lengths in mm; three of them decide: step, how far the parts stand above the step of the shaft; thread, what shows above the nut; clear, the loaded mount over the spring plate. Put a stack together without the spring first.',
                },
                ...drawings(rows),
            ],
        },
        ...(plots.length === 0
            ? []
            : [
                  {
                      title: 'What the tolerances leave',
                      blocks: [{ kind: 'legend' as const, entries: limitsLegend }, ...plots],
                  },
              ]),
        {
            title: 'All boxes and shafts',
            blocks: [
                table('The best stack of each box on each shaft, lengths in mm', rows.stacks, lengthColumns),
                table('Its parts', rows.stacks, orderColumns),
            ],
        },
        {
            title: 'The parts',
            blocks: [
                table(
                    'The parts of the boxes, and on how many of all shafts they are of use',
                    rows.parts,
                    partColumns,
                ),
            ],
        },
    ];
}

export default defineReport({
    title: 'Stack',
    question:
        'Which parts of the box go on the shaft, in which order, and is the dry stack sound before a spring is compressed over it?',
    group: 'maker',
    basis: 'parts',
    rows: schemas,
    headline,
    picture,
    answer,
    findings,
    sections,
    method,
});

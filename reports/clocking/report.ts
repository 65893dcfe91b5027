import { programName } from '../../src/errors/programName.js';
import type { Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { marksText } from '../../src/report/plan.js';
import { answer, headline } from './answer.js';
import { areasLegend, areasPlot } from './areasPlot.js';
import { findings } from './findings.js';
import { method } from './method.js';
import { picture } from './picture.js';
import { cornersOf, type Rows, schemas, subjectWords, type Way } from './rows.js';
import { towerPlan } from './towerPlan.js';

/** Ways in the table. */
const shownCount = 6;

const columns: Column<Way>[] = [
    { title: 'rank', value: (row) => row.rank },
    { title: 'target', value: (row) => row.target },
    { title: 'corner', value: (row) => row.corner },
    { title: 'plate', value: (row) => row.plate_hand },
    { title: 'index', value: (row) => row.plate_index },
    { title: 'mark', value: (row) => marksText(row.mark_1, row.mark_2) },
    { title: 'camber', value: (row) => row.camber_deg, digits: 2 },
    { title: 'caster', value: (row) => row.caster_deg, digits: 2 },
    { title: 'in reach', value: (row) => row.reachable },
    { title: 'in tolerance', value: (row) => row.p_in_tolerance, digits: 2 },
    { title: 'travel left, mm', value: (row) => row.spare_mm, digits: 1 },
    { title: 'alike', value: (row) => row.symmetrical },
];

function sections(rows: Rows) {
    if (rows.ways.length === 0) return [];
    const corners = cornersOf(rows);
    const best = rows.ways.filter((row) => row.rank <= shownCount);
    const of = `for ${rows.ways[0]!.kit} on ${subjectWords(rows)}`;
    return [
        {
            title: 'What the plates reach',
            blocks: [
                { kind: 'legend' as const, entries: areasLegend },
                ...corners.map((corner) => areasPlot(rows, corner)),
            ],
        },
        { title: 'The plates in the tower', blocks: corners.map((corner) => towerPlan(rows, corner)) },
        {
            title: 'The best ways',
            blocks: [
                table(
                    best.length === rows.ways.length
                        ? `All ways ${of}, the best first`
                        : `The ${shownCount} best ways ${of}; ${programName()} clocking --json gives all`,
                    best,
                    columns,
                ),
            ],
        },
    ];
}

export default defineReport({
    title: 'Clocking',
    question:
        'Before fitting: which plate of the mirrored pair goes left and which right, and in which bolt position, so that the targets can be reached?',
    group: 'shop',
    rows: schemas,
    headline,
    picture,
    answer,
    findings,
    sections,
    method,
});

import type { Block, Section } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { answer, headline } from './answer.js';
import { carsTable } from './carsTable.js';
import { causesPlot } from './causesPlot.js';
import { errorsLegend, errorsPlot } from './errorsPlot.js';
import { findings } from './findings.js';
import { method } from './method.js';
import { monthsLegend, monthsPlot } from './monthsPlot.js';
import { picture } from './picture.js';
import { type Rows, schemas, whole } from './rows.js';
import { anglesPlot, groupsPlot, sharesLegend } from './sharesPlot.js';
import { spreadTable } from './spreadTable.js';

const angles = ['camber_deg', 'caster_deg', 'toe_deg'] as const;
const splits = ['technician', 'gauge', 'kit', 'chassis'];

const present = (blocks: readonly (Block | null)[]) => blocks.filter((block) => block !== null);

function sections(rows: Rows): Section[] {
    if (whole(rows, 'all') === undefined) return [];
    const causes = present(angles.map((response) => causesPlot(rows, response)));
    const groups = present(splits.map((split) => groupsPlot(rows, split)));
    return [
        {
            title: 'Overall and over time',
            blocks: [{ kind: 'legend', entries: monthsLegend }, monthsPlot(rows), anglesPlot(rows)],
        },
        {
            title: 'Where the misses come from',
            blocks: [
                {
                    kind: 'paragraph',
                    text: 'Misses as read. Within reach: the plate as it is clocked could have met camber and caster together. Too near to tell: missed by less than the reading is sure to.',
                },
                ...causes,
                { kind: 'legend', entries: errorsLegend },
                ...present(angles.map((response) => errorsPlot(rows, response))),
            ],
        },
        {
            title: 'Groups side by side',
            blocks: [
                {
                    kind: 'paragraph',
                    text: 'Visits as a whole. Where intervals overlap much, the groups cannot be told apart; who has few visits is drawn towards the others.',
                },
                { kind: 'legend', entries: sharesLegend },
                ...groups,
                spreadTable(rows, 'overall'),
                spreadTable(rows, 'technician'),
                spreadTable(rows, 'gauge'),
            ],
        },
        { title: 'Cars to call back', blocks: carsTable(rows) },
    ];
}

export default defineReport({
    title: 'Audit',
    question:
        'How often did installs and adjustments leave the angles inside the tolerances of their targets, where do the misses come from, and which cars should come back?',
    group: 'shop',
    rows: schemas,
    headline,
    picture,
    answer,
    findings,
    sections,
    method,
});

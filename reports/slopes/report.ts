import type { Block, Section } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { listed } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import { answer, headline } from './answer.js';
import { drawnCount, findings } from './findings.js';
import { forestLegend, forestPlot } from './forestPlot.js';
import { lengthsLegend, lengthsPlot } from './lengthsPlot.js';
import { method } from './method.js';
import { movesLegend, movesPlot } from './movesPlot.js';
import { picture, pictureCount } from './picture.js';
import { chassisOf, type PanelKey, panels, type Rows, samePanel, schemas } from './rows.js';
import { signsDrawing } from './signsDrawing.js';
import { slopesTable } from './slopesTable.js';
import { slopeName } from './words.js';

function paragraph(text: string): Block {
    return { kind: 'paragraph', text };
}

/** The plots of one chassis, with the reason in place of one that cannot be drawn. */
function chassisGroup(rows: Rows, chassis: string): Block {
    const own = rows.slopes.filter((row) => row.chassis === chassis);
    const plots = panels
        .map((key) => own.find(samePanel(key))!)
        .map((slope) => ({ slope, plot: movesPlot(rows, slope) }));
    const texts = [...new Set(plots.flatMap(({ slope }) => slope.flag ?? slope.reason ?? []))];
    const remarks = texts.map((text) => {
        const about = plots.filter(({ slope }) => (slope.flag ?? slope.reason) === text);
        return paragraph(`${capital(listed(about.map(({ slope }) => slopeName(slope))))}: ${text}.`);
    });
    return {
        kind: 'group',
        title: chassis,
        blocks: [...remarks, ...plots.flatMap(({ plot }) => plot ?? [])],
    };
}

function sections(rows: Rows): Section[] {
    if (rows.slopes.length === 0) return [];
    const isDrawnAbove = chassisOf(rows.slopes).length <= pictureCount;
    const keys: PanelKey[] = [...panels, { response: 'sai_deg', axis: 'out' }];
    const forests = keys.slice(isDrawnAbove ? 1 : 0).map((key) => forestPlot(rows, key));
    const lengths = panels.slice(0, 2).map((key) => lengthsPlot(rows, key));
    const drawn = chassisOf(rows.slopes)
        .slice(0, drawnCount)
        .filter((chassis) => rows.moves.some((move) => move.chassis === chassis));
    return [
        {
            title: 'Slopes side by side',
            blocks: [{ kind: 'legend', entries: forestLegend }, ...forests, signsDrawing],
        },
        {
            title: 'Effective lengths',
            blocks: [
                paragraph(
                    'A slope tells the vertical distance between the lower ball joint and the bearing. A length outside 400 to 900 mm is nearly always a mistake of unit, sign or column.',
                ),
                { kind: 'legend', entries: lengthsLegend },
                ...lengths,
            ],
        },
        {
            title: 'The moves behind the slopes',
            blocks: [
                paragraph(
                    'Each point is one move: two readings of one corner in one visit, with one kit at two known offsets. Its change of angle is shown less the part that the move along the other axis accounts for. Plots of one angle have the same axes.',
                ),
                { kind: 'legend', entries: movesLegend },
                ...drawn.map((chassis) => chassisGroup(rows, chassis)),
            ],
        },
        { title: 'All slopes', blocks: slopesTable(rows.slopes) },
    ];
}

export default defineReport({
    title: 'Slopes',
    question:
        'How many degrees of camber, caster, toe and steering-axis inclination does one millimetre of bearing offset change on each chassis, and how sure is that?',
    group: 'maker',
    rows: schemas,
    headline,
    picture,
    answer,
    findings,
    sections,
    method,
    highlight: (rows) => ({
        field: 'vehicle',
        label: 'Show one car in all plots:',
        values: [...new Set(rows.moves.map((row) => row.vehicle))].sort(),
    }),
});

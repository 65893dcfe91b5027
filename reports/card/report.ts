import { programName } from '../../src/errors/programName.js';
import type { Block } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { findings } from './findings.js';
import { landingLegend, landingPlot } from './landing.js';
import { method } from './method.js';
import { carsOf, type Rows, schemas } from './rows.js';
import { sheet } from './sheet.js';

/** Cars with pictures of where their settings land. */
const drawnCount = 6;

function landings(rows: Rows, vehicle: string): Block {
    const blocks = (['FL', 'FR'] as const)
        .filter((corner) => rows.settings.some((row) => row.vehicle === vehicle && row.corner === corner))
        .map((corner) => landingPlot(rows, vehicle, corner));
    return { kind: 'group', title: vehicle, blocks, keys: { vehicle: [vehicle] } };
}

const cutParagraph: Block = {
    kind: 'paragraph',
    text: `Pictures of the ${drawnCount} cars that were read last; ${programName()} report card --vehicle NAME draws any other.`,
};

export default defineReport({
    title: 'Cards',
    question:
        'Where do the bearings of each car go for each target, which angles are to be expected there, and what toe is to be put back? Printing this page gives the cards alone, one sheet of A5 for each car.',
    group: 'team',
    rows: schemas,
    headline: (rows) => findings(rows)[0]!.text,
    picture: (rows) =>
        carsOf(rows)
            .slice(0, 1)
            .map((vehicle) =>
                landingPlot(rows, vehicle, rows.settings.find((row) => row.vehicle === vehicle)!.corner),
            ),
    answer: (rows) => [findings(rows)[0]!.text],
    findings,
    sections: (rows) => {
        const cars = carsOf(rows);
        if (cars.length === 0) return [];
        return [
            { title: 'Cards', blocks: cars.map((vehicle) => sheet(rows, vehicle)) },
            {
                title: 'Where the settings land',
                blocks: [
                    { kind: 'legend', entries: landingLegend },
                    ...(cars.length > drawnCount ? [cutParagraph] : []),
                    ...cars.slice(0, drawnCount).map((vehicle) => landings(rows, vehicle)),
                ],
            },
        ];
    },
    method,
    filters: (rows) => {
        const values = carsOf(rows);
        return values.length < 2 ? [] : [{ field: 'vehicle', label: 'Card of', values }];
    },
});

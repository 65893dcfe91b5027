import type { Block } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { biasLegend, biasPlot } from './biasPlot.js';
import { answer, findings, headline } from './findings.js';
import { monthsPlots } from './monthsPlot.js';
import { angleOf, responsesOf, schemas } from './rows.js';

export default defineReport({
    title: 'Gauges',
    question:
        'What does each gauge and person add, how far do readings scatter, and which tolerance can they judge?',
    group: 'shop',
    rows: schemas,
    headline,
    picture: (rows) => {
        const [first] = responsesOf(rows);
        return first === undefined ? [] : [biasPlot(rows, first), { kind: 'legend', entries: biasLegend }];
    },
    answer,
    findings,
    sections: (rows) => {
        const [, ...others] = responsesOf(rows);
        const months = responsesOf(rows).flatMap((response): Block[] => {
            const plots = monthsPlots(rows, response);
            return plots.length === 0
                ? []
                : [{ kind: 'group', title: `Over time: ${angleOf({ response })}`, blocks: plots }];
        });
        return [
            ...(others.length === 0
                ? []
                : [
                      {
                          title: 'The other angles',
                          blocks: others.map((response) => biasPlot(rows, response)),
                      },
                  ]),
            ...(months.length === 0 ? [] : [{ title: 'Over time, where gauges met', blocks: months }]),
        ];
    },
    method: [
        {
            term: 'Bias',
            text: 'What a gauge, person or pair adds relative to the average of those that it was compared with, from settings that several read: weighted normal equations, shrunken by the standard deviation between gauges and between people (REML). Interval: ± 1.96 standard errors, with the car as cluster: its readings share mountings and floors.',
        },
        {
            term: 'Scatter',
            text: 'Standard deviation of one reading, from repeats of one state; 95 % interval by chi-square, with four degrees of freedom of the other gauges where they took part. The thin line adds what a new set-up (clamps, rim, floor) adds: bias ± 1.96 of both together.',
        },
        {
            term: '% of tolerance',
            text: '6 standard deviations of gauge and people over the whole band of the tightest tolerance (Measurement Systems Analysis, 4th ed. 2010, chapter III; from memory: over 30 % will not do). One reading cannot judge a tolerance of which a guard band of 1.65 standard uncertainties leaves nothing.',
        },
        {
            term: 'Over time',
            text: 'By month, mean of what the gauge read above the mean of all gauges that read the same state, with a 95 % t interval over the states; none for one state.',
        },
    ],
});

import { programName } from '../../src/errors/programName.js';
import type { Chart, ChartSpec } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import type { Rows } from './rows.js';
import { verdictEncoding } from './verdictMarks.js';

const axis = {
    gridColor: { condition: { test: 'datum.value === 0', value: paint.muted }, value: paint.rule },
};
const x = { type: 'quantitative' as const, title: 'change of camber, °', axis };
const y = { type: 'quantitative' as const, title: 'change of caster, °', axis };
const sideName = { FL: 'left', FR: 'right' } as const;

/** Rows of a table under a chart. */
const listedCount = 20;

const spec: ChartSpec = {
    height: 190,
    layer: [
        {
            data: { name: 'directions' },
            mark: { type: 'line', color: paint.muted, strokeWidth: 1.5, strokeDash: [4, 3] },
            encoding: {
                x: { ...x, field: 'camber_deg' },
                y: { ...y, field: 'caster_deg' },
                detail: { field: 'scale', type: 'nominal' },
                order: { field: 'slip_mm', type: 'quantitative' },
            },
        },
        {
            data: { name: 'events' },
            mark: { type: 'point', strokeWidth: 1.5 },
            encoding: {
                x: { ...x, field: 'camber_compared_deg' },
                y: { ...y, field: 'caster_change_deg' },
                ...verdictEncoding,
                tooltip: [
                    { field: 'day', title: 'day' },
                    { field: 'visit', title: 'visit' },
                    { field: 'drawn_as', title: 'verdict' },
                    { field: 'camber_compared_deg', title: 'camber, °', format: '+.2f' },
                    { field: 'caster_change_deg', title: 'caster, °', format: '+.2f' },
                    { field: 'sai_change_deg', title: 'SAI, °', format: '+.2f' },
                    { field: 'toe_change_deg', title: 'toe, °', format: '+.2f' },
                ],
            },
        },
    ],
};

/** Changes over the sessions in the plane of camber and caster, against the way that the plate slides; null without caster. */
export function planePlot({ events, directions }: Rows, vehicle: string, corner: 'FL' | 'FR'): Chart | null {
    const here = events.filter(
        (row) =>
            row.vehicle === vehicle &&
            row.corner === corner &&
            row.camber_compared_deg !== null &&
            row.caster_change_deg !== null,
    );
    if (here.length === 0) return null;
    const listed = here.slice(0, listedCount);
    const cut =
        here.length > listed.length
            ? `. The newest ${listedCount} of ${here.length}; ${programName()} drift --vehicle ${vehicle} gives all`
            : '';
    const side = sideName[corner];
    return {
        kind: 'chart',
        title: `Change over a session, ${side}`,
        alt: `${vehicle}, ${side}: change of caster against change of camber over ${counted(here.length, 'session')}, and the line along which the plate would slide.`,
        spec,
        data: {
            events: here,
            directions: directions.filter((row) => row.vehicle === vehicle && row.corner === corner),
        },
        table: table(`${vehicle}, ${side}: changes over sessions${cut}`, listed, [
            { title: 'day', value: (row) => row.day },
            { title: 'visit', value: (row) => row.visit },
            { title: 'camber, °', value: (row) => row.camber_compared_deg, digits: 2 },
            { title: 'caster, °', value: (row) => row.caster_change_deg, digits: 2 },
            { title: 'verdict', value: (row) => row.drawn_as },
        ]),
    };
}

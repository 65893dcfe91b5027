import type { Chart, ChartSpec, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import {
    columns,
    data,
    type Interval,
    kindColor,
    kindShape,
    kinds,
    priorBand,
    slopeAxis,
    tooltip,
} from './forestParts.js';
import { chassisOf, type PanelKey, type Rows, samePanel } from './rows.js';
import { angle, direction, slopeName } from './words.js';

export const forestLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'own slope, 95 % t interval' },
    { mark: 'diamond', paint: paint.second, label: 'shrunken slope, ± 1.96 standard errors' },
    { mark: 'band', paint: paint.third, label: 'what geometry alone expects (95 %)' },
    { mark: 'arrow', paint: paint.first, label: 'goes on beyond the picture' },
];

function spec(key: PanelKey, rows: readonly Interval[]): ChartSpec {
    const chassis = chassisOf(rows);
    const x = slopeAxis(rows, `° of ${angle[key.response]} per mm ${direction[key.axis]}`);
    const y = {
        field: 'chassis',
        type: 'nominal' as const,
        title: null,
        sort: chassis,
        scale: { domain: chassis },
        axis: { grid: false, minExtent: 78, maxExtent: 78, labelLimit: 74 },
    };
    const beside = {
        y,
        yOffset: { field: 'kind', type: 'nominal' as const, scale: { domain: kinds, paddingOuter: 0.7 } },
        color: kindColor,
    };
    const head = (field: 'beyond_low' | 'beyond_high', angleDeg: number): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'point', shape: 'triangle-up', size: 44, angle: angleDeg, filled: true },
        encoding: { ...beside, x: { ...x, field }, tooltip },
    });
    return {
        height: 56 + 34 * chassis.length,
        layer: [
            priorBand(x, 0.16),
            {
                data,
                mark: { type: 'rule', strokeWidth: 1.6 },
                encoding: {
                    ...beside,
                    x: { ...x, field: 'low_shown' },
                    x2: { field: 'high_shown' },
                    tooltip,
                },
            },
            {
                data,
                mark: { type: 'point', filled: true, opacity: 1, size: 46 },
                encoding: {
                    ...beside,
                    x: { ...x, field: 'slope_shown' },
                    shape: kindShape,
                    tooltip,
                },
            },
            head('beyond_low', 270),
            head('beyond_high', 90),
        ],
    };
}

/** Own and shrunken slopes of all chassis of the page for one response and axis. */
export function forestPlot(rows: Rows, key: PanelKey): Chart {
    const here = rows.forest.filter(samePanel(key));
    const title = slopeName(key);
    const prior = here[0]!;
    return {
        kind: 'chart',
        title: capital(title),
        alt: `Own and shrunken slopes of ${title} with 95 % intervals for ${counted(chassisOf(here).length, 'chassis', 'chassis')}; geometry alone expects ${fixed(prior.prior_low_deg_per_mm, 3)} to ${fixed(prior.prior_high_deg_per_mm, 3)} degrees per millimetre.`,
        spec: spec(key, here),
        data: { forest: here },
        table: table(`Slopes of ${title}`, here, columns),
    };
}

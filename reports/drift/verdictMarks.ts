import type { LegendEntry } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { drawnVerdicts } from './rows.js';

const cross = 'M-1,-1L1,1M-1,1L1,-1';

const colors = [paint.muted, paint.muted, paint.second, paint.second, paint.third, paint.ink];
const filled = [paint.muted, paint.muted, paint.second, paint.second, 'transparent', 'transparent'];

function channel(range: readonly string[]) {
    return {
        field: 'drawn_as',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: [...drawnVerdicts], range: [...range] },
    };
}

/** How a verdict is drawn, the same in all plots: what held stays in the background. */
export const verdictEncoding = {
    shape: channel(['circle', 'circle', 'diamond', 'triangle-up', cross, 'square']),
    stroke: channel(colors),
    fill: channel(filled),
    size: {
        condition: [
            { test: "datum.drawn_as === 'held'", value: 16 },
            { test: "datum.drawn_as === 'reading'", value: 6 },
        ],
        value: 52,
    },
};

export const verdictLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.muted, label: 'held' },
    { mark: 'diamond', paint: paint.second, label: 'plate moved' },
    { mark: 'triangle', paint: paint.second, label: 'bent' },
    { mark: 'cross', paint: paint.third, label: 'other, wrong measuring included' },
    { mark: 'square', paint: paint.ink, label: 'unclear' },
];

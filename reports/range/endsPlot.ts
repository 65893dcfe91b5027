import type { Chart, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import type { Rows } from './rows.js';

type Tenth = Rows['ends'][number];

/** Fewest corners and most pictures of pointers. */
const fewest = 5;
const drawnCount = 9;

const columns: Column<Tenth>[] = [
    { title: 'from', value: (row) => row.from_share, digits: 1 },
    { title: 'to', value: (row) => row.to_share, digits: 1 },
    { title: 'corners', value: (row) => row.corner_count },
];

function endsPlot(ends: readonly Tenth[]): Chart {
    const { kit, plate_index, index_corner_count, low_end_count, high_end_count } = ends[0]!;
    const title = `${kit}, index ${plate_index}: ${counted(index_corner_count, 'corner')}`;
    return {
        kind: 'chart',
        title,
        alt: `Where the pointers of ${kit} stand in index ${plate_index}, in tenths of the scale: ${low_end_count} in the lowest, ${high_end_count} in the highest.`,
        spec: {
            height: 130,
            layer: [
                {
                    data: { name: 'ends' },
                    mark: { type: 'bar', color: paint.first, opacity: 0.75 },
                    encoding: {
                        x: {
                            field: 'from_share',
                            type: 'quantitative',
                            bin: 'binned',
                            title: 'place on the first scale, lowest to highest mark',
                            axis: { format: '.0%' },
                            scale: { domain: [0, 1], nice: false },
                        },
                        x2: { field: 'to_share' },
                        y: {
                            field: 'corner_count',
                            type: 'quantitative',
                            title: 'corners',
                            axis: { tickMinStep: 1 },
                        },
                        tooltip: [{ field: 'corner_count', title: 'corners' }],
                    },
                },
            ],
        },
        data: { ends },
        table: table(title, ends, columns),
    };
}

/** Where customers have their pointers, per kit and index in use. */
export function endsPlots({ ends }: Rows): Chart[] {
    const places = [...new Set(ends.map((row) => `${row.kit_rank} ${row.plate_index}`))];
    return places
        .map((place) => ends.filter((row) => `${row.kit_rank} ${row.plate_index}` === place))
        .filter((rows) => rows[0]!.index_corner_count >= fewest)
        .slice(0, drawnCount)
        .map(endsPlot);
}

import type { Chart, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import type { Rows } from './rows.js';
import { angle } from './words.js';

type Cause = Rows['causes'][number];

const columns: Column<Cause>[] = [
    { title: 'cause', value: (row) => row.cause },
    { title: 'settings', value: (row) => row.setting_count },
];

/** Misses of one angle by what kept them from the target; null where nothing missed. */
export function causesPlot(rows: Rows, response: Cause['response']): Chart | null {
    const causes = rows.causes.filter((row) => row.response === response);
    if (causes.length === 0) return null;
    const order = causes.map((row) => row.cause);
    const total = causes.reduce((sum, row) => sum + row.setting_count, 0);
    const y = {
        field: 'cause',
        type: 'nominal' as const,
        title: null,
        sort: order,
        axis: nameAxis(144),
    };
    const x = {
        field: 'setting_count',
        type: 'quantitative' as const,
        title: 'settings that missed',
        axis: { tickMinStep: 1 },
    };
    const name = capital(angle[response]);
    return {
        kind: 'chart',
        title: `${name}: ${counted(total, 'miss', 'misses')}`,
        alt: `${name}: ${causes.map((row) => `${row.setting_count} ${row.cause}`).join(', ')}.`,
        spec: {
            height: 66 + 28 * order.length,
            layer: [
                {
                    data: { name: 'causes' },
                    mark: { type: 'bar', color: paint.first, opacity: 0.75, height: { band: 0.6 } },
                    encoding: {
                        y,
                        x,
                        tooltip: [{ field: 'cause' }, { field: 'setting_count', title: 'settings' }],
                    },
                },
                {
                    data: { name: 'causes' },
                    mark: { type: 'text', align: 'left', dx: 4, fontSize: 11, color: paint.ink },
                    encoding: { y, x, text: { field: 'setting_count' } },
                },
            ],
        },
        data: { causes },
        table: table(`${name}: misses by what kept them from the target`, causes, columns),
    };
}

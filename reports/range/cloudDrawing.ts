import type { Drawing, LegendEntry } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { percent } from '../../src/report/format.js';
import { Markup } from '../../src/report/html.js';
import { frameOf, reachDrawing } from '../../src/report/whatIf/reachDrawing.js';
import { reachOf } from '../../src/report/whatIf/reachOf.js';
import { kitFor } from '../../src/report/whatIf/words.js';
import type { Range, Rows } from './rows.js';
import { whatIfData } from './whatIf.js';

export const cloudLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.ink, label: 'needed offset that the plate reaches in its best index' },
    { mark: 'cross', paint: paint.second, label: 'needed offset that it does not reach' },
    {
        mark: 'line',
        paint: paint.first,
        label: 'slot, plate of the corner’s own side; shaded: within tolerance of it',
    },
    { mark: 'dashed', paint: paint.second, label: 'the same for the plate of the other side' },
];

/** The cloud of one chassis and target over the areas of the kit that most corners carry; null where there is none. */
export function cloudDrawing(rows: Rows, group: Range): Drawing | null {
    const { fields, kits } = whatIfData(rows);
    const field = fields.find((one) => one.name === `${group.chassis}, ${group.target}`);
    const name = rows.plates[0]?.kit;
    const kit = field === undefined || name === undefined ? undefined : kitFor(kits, name, group.chassis);
    if (field === undefined || kit === undefined) return null;
    const reach = reachOf(field, kit.design, field.effectiveCount[kit.kit] ?? 1);
    return {
        kind: 'drawing',
        title: `${field.name}: needed offsets over ${kit.kit}`,
        alt: `Plan view of the needed offsets of ${field.name} over the slots of ${kit.kit} in every index; ${percent(reach.share)} are reached.`,
        svg: new Markup(reachDrawing(field, kit.design, reach, frameOf(field, kit.design))),
    };
}

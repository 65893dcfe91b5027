import { parse, View } from 'vega';
import { expressionInterpreter } from 'vega-interpreter';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { type Chart, type ChartSpec, table } from '../../src/report/blocks.js';
import { compileChart } from '../../src/report/chart/compileChart.js';
import { usedFields } from '../../src/report/chart/fields.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { withData } from '../../src/report/chart/rows.js';
import { staticSvg } from '../../src/report/chart/staticSvg.js';
import { checkChart } from '../support/checkChart.js';

const schemas = { points: z.object({ a: z.number(), b: z.number(), c: z.string() }) };

function chart(
    layer: ChartSpec['layer'],
    data: Chart['data'] = { points: [{ a: 1 / 3, b: 2, c: 'x' }] },
): Chart {
    return {
        kind: 'chart',
        title: '',
        alt: '',
        spec: { height: 100, layer },
        data,
        table: table('', [], []),
    };
}

const good: ChartSpec['layer'] = [
    {
        data: { name: 'points' },
        mark: 'point',
        encoding: {
            x: { field: 'a', type: 'quantitative' },
            y: { field: 'b', type: 'quantitative' },
            opacity: { condition: { test: "datum['c'] === 'x'", value: 1 }, value: 0.1 },
        },
    },
];

describe('tooltips', () => {
    test('what is missing is null, not 0 and not a word', async () => {
        const unit = good[0] as { encoding: object };
        const tooltip = [
            { field: 'a', title: 'number', format: '+.2f' },
            { field: 'b', type: 'quantitative', title: 'plain' },
            { field: 'c', title: 'text' },
        ];
        const told = async (rows: object[]) => {
            const layer = [{ ...unit, encoding: { tooltip } }] as never;
            const { vega, data } = compileChart(chart(layer, { points: rows }));
            const view = new View(parse(withData(vega, data), undefined, { ast: true }), {
                expr: expressionInterpreter as never,
            });
            await view.runAsync();
            const found: object[] = [];
            const visit = (item: { tooltip?: object; items?: never[] }) => {
                if (item.tooltip !== undefined) found.push(item.tooltip);
                for (const one of item.items ?? []) visit(one);
            };
            visit((view.scenegraph() as unknown as { root: never }).root);
            view.finalize();
            return found;
        };
        expect(
            await told([
                { a: null, b: null, c: null },
                { a: 0, b: 0.25, c: 'null' },
            ]),
        ).toEqual([
            { number: null, plain: null, text: null },
            { number: '+0.00', plain: '0.25', text: 'null' },
        ]);
    });
});

describe('nameAxis', () => {
    const labels = (extent: number, names: string[]) => {
        const { labelExpr } = nameAxis(extent);
        const points = names.map((c, b) => ({ a: 1, b, c }));
        const y = { field: 'c', type: 'nominal', sort: names, axis: nameAxis(extent) };
        expect(labelExpr).toContain('datum.label');
        return compileChart(
            chart([{ data: { name: 'points' }, mark: 'point', encoding: { y } }] as never, { points }),
        );
    };

    test('a name too long goes on below, the count at its end stays', async () => {
        const names = [
            'short (3)',
            'fitter of the night shift (126)',
            'x'.repeat(40),
            `${'long '.repeat(20)}(7)`,
        ];
        const svg = await staticSvg(labels(116, names), 'plot-1');
        const lines = [...svg.toString().matchAll(/<tspan[^>]*>([^<]*)|<text[^>]*>([^<]+)/g)].map(
            ([, one, other]) => one ?? other!,
        );
        expect(lines).toEqual(expect.arrayContaining(['short (3)', `${'x'.repeat(13)}…`]));
        expect(lines.some((line) => line.endsWith('(126)'))).toBe(true);
        expect(lines.some((line) => line.endsWith('(7)'))).toBe(true);
        for (const line of lines) expect(line.length).toBeLessThanOrEqual(14);
    });
});

describe('usedFields', () => {
    test('finds fields of encodings and expressions per data name, not those that a transform makes', () => {
        const spec = {
            encoding: { x: { field: 'shared' } },
            layer: [
                {
                    data: { name: 'one' },
                    transform: [{ calculate: 'datum.a + datum["b c"]', as: 'sum' }],
                    encoding: { y: { field: 'sum' } },
                },
                {
                    data: { name: 'two' },
                    transform: [{ aggregate: [{ op: 'mean', field: 'd', as: 'm' }], groupby: ['e'] }],
                },
            ],
        };
        const found = Object.fromEntries(
            [...usedFields(spec)].map(([name, fields]) => [name, [...fields].sort()]),
        );
        expect(found).toEqual({ one: ['a', 'b c', 'shared'], two: ['d', 'e', 'shared'] });
    });

    test('a layer without data is refused', () => {
        expect(() => usedFields({ layer: [{ encoding: {} }] })).toThrow('names no data');
    });
});

describe('checkChart', () => {
    test('has nothing against a good chart', () => {
        expect(checkChart(chart(good), schemas)).toEqual([]);
    });

    test('names an unknown field, unknown data, a warning and a broken spec', () => {
        const unit = good[0] as { encoding: object };
        const problems = (change: object, data?: Chart['data']) =>
            checkChart(chart([{ ...unit, ...change } as never], data), schemas).join('\n');
        expect(
            problems({ encoding: { ...unit.encoding, x: { field: 'aa', type: 'quantitative' } } }),
        ).toContain('points has no field aa');
        expect(problems({ data: { name: 'other' } })).toContain('data other has no row schema');
        expect(problems({}, {})).toContain('data points is not given');
        expect(problems({ encoding: { ...unit.encoding, size: { field: 'c', type: 'nominal' } } })).toContain(
            'warning: ',
        );
        expect(problems({ mark: 'blob' })).toContain('not valid');
    });
});

describe('compileChart and staticSvg', () => {
    test('numbers are kept to a thousandth of their spread, and to four digits at least', () => {
        const values = [1.23456789, 1.73456789, 0.0123456789, 3];
        const points = values.map((a) => ({ a, b: 1, c: 'x' }));
        expect(compileChart(chart(good, { points })).data.points!.a).toEqual([1.235, 1.735, 0.01235, 3]);
        const near = [7.12345678, 7.27345678].map((a) => ({ a, b: 1, c: 'x' }));
        expect(compileChart(chart(good, { points: near })).data.points!.a).toEqual([7.1235, 7.2735]);
    });

    test('data keep only the columns that are read', () => {
        const unread: ChartSpec['layer'] = [
            { ...good[0]!, encoding: { x: { field: 'a', type: 'quantitative' } } },
        ];
        expect(compileChart(chart(unread)).data).toEqual({ points: { a: [0.333333] } });
    });

    test('the picture has the same bytes every time and keeps its ids to itself', async () => {
        const clipped = compileChart(chart([{ ...good[0]!, mark: { type: 'point', clip: true } } as never]));
        const first = (await staticSvg(clipped, 'p1')).text;
        expect((await staticSvg(clipped, 'p1')).text).toBe(first);
        expect(first).toMatch(/ id="p1-clip\d+"/);
        expect(first).toMatch(/url\(#p1-clip\d+\)/);
        expect(first).not.toMatch(/style=|http|NaN|undefined/);
    });
});

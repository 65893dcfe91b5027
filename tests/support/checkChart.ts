import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv } from 'ajv';
import type { Block, Chart } from '../../src/report/blocks.js';
import { compileChart, fullSpec } from '../../src/report/chart/compileChart.js';
import { usedFields } from '../../src/report/chart/fields.js';
import type { Content, RowSchemas } from '../../src/report/defineReport.js';

const schemaFile = createRequire(import.meta.url).resolve('vega-lite/vega-lite-schema.json');
const validate = new Ajv({ strict: false, formats: { 'color-hex': true, uri: true }, logger: false }).compile(
    JSON.parse(readFileSync(schemaFile, 'utf8')),
);

/** All charts of a page, in its order. */
export function chartsOf({ picture, sections }: Pick<Content, 'picture' | 'sections'>): Chart[] {
    const inside = (block: Block): Chart[] =>
        block.kind === 'chart' ? [block] : block.kind === 'group' ? block.blocks.flatMap(inside) : [];
    return [...picture, ...sections.flatMap((section) => section.blocks)].flatMap(inside);
}

function warningsOf(chart: Chart): string[] {
    const said: string[] = [];
    const say =
        (kind: string) =>
        (...words: unknown[]): unknown => {
            said.push(`${kind}: ${words.join(' ')}`);
            return logger;
        };
    const logger = {
        level: () => logger,
        error: say('error'),
        warn: say('warning'),
        info: () => logger,
        debug: () => logger,
    };
    compileChart(chart, logger as never);
    return said;
}

/**
 * What is wrong with a chart: against the published JSON Schema of Vega-Lite, in its compiler's warnings, and fields that
 * the row schema of their data does not have. Empty when nothing is.
 */
export function checkChart(chart: Chart, schemas: RowSchemas): string[] {
    if (!validate(fullSpec(chart.spec))) {
        const deepest = [...validate.errors!].sort(
            (a, b) => b.instancePath.length - a.instancePath.length,
        )[0]!;
        return [`not valid: ${deepest.instancePath} ${deepest.message}`];
    }
    const problems = warningsOf(chart);
    for (const [name, fields] of usedFields(chart.spec)) {
        const shape = schemas[name]?.shape;
        if (shape === undefined) problems.push(`data ${name} has no row schema`);
        else if (chart.data[name] === undefined) problems.push(`data ${name} is not given`);
        else
            problems.push(
                ...[...fields]
                    .filter((field) => !(field in shape))
                    .map((field) => `${name} has no field ${field}`),
            );
    }
    return problems;
}

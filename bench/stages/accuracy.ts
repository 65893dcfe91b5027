import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { designs } from '../../fixtures/physics/chassis.js';
import { kitColumns, readingColumns } from '../../fixtures/physics/columns.js';
import { type CsvRow, toCsv } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate, slantedPlate } from '../../fixtures/physics/kits.js';
import { remove } from '../databases.js';
import { line } from '../line.js';
import { others } from '../others.js';
import type { Bench, Line, Stage } from '../stage.js';

/** Eight of a hundred corner visits hold a slip, a lost sign or a mistyped digit. */
const field = {
    seed: 20_260_301,
    designs,
    vehicles: 60,
    visits: 3,
    grossShare: 0.08,
    plates: [onePlate, slantedPlate],
};

/** The field as files, with its true slopes. */
function written(folder: string): { readings: string; kits: string; truth: string } {
    const { readings, kits, truth } = simulateFleet(field);
    const write = (name: string, columns: readonly string[], rows: readonly CsvRow[]) => {
        const file = join(folder, `accuracy-${name}.csv`);
        writeFileSync(file, toCsv(columns, rows));
        return file;
    };
    return {
        readings: write('readings', readingColumns, readings),
        // Without a chassis: the scripts of others know kits for any only.
        kits: write(
            'kits',
            kitColumns.filter((name) => name !== 'chassis'),
            kits,
        ),
        truth: write(
            'truth',
            ['chassis', 'response', 'axis', 'true_deg_per_mm'],
            [...truth].flatMap(([chassis, { out, aft }]) => [
                { chassis, response: 'camber_deg', axis: 'out', true_deg_per_mm: out.camber_deg },
                { chassis, response: 'caster_deg', axis: 'aft', true_deg_per_mm: aft.caster_deg },
            ]),
        ),
    };
}

async function errors(
    bench: Bench,
    database: string,
    source: string,
    names: Record<string, string>,
): Promise<Line[]> {
    let query = readFileSync(join(bench.sources, source), 'utf8');
    for (const [name, path] of Object.entries(names)) query = query.replaceAll(`$${name}`, path);
    const rows = await bench.data.ask(database, query);
    return rows.map(({ name, slope_count, rms }) =>
        line('accuracy', String(name), undefined, {
            figure: { value: 100 * Number(rms), unit: '% rms off the true slope' },
            note: `${slope_count} slopes`,
        }),
    );
}

export default {
    name: 'accuracy',
    title: 'Slopes against the true ones of a field with slips and mistakes of writing, beside R and Python',
    async run(bench) {
        const { readings, kits, truth } = written(bench.folder);
        const file = join(bench.folder, 'accuracy.duckdb');
        remove(file);
        for (const words of [
            ['load', '--quiet', '--later', kits, readings],
            ['slopes', '--quiet'],
        ]) {
            const outcome = await bench.run(bench.strutmark('--db', file, ...words));
            if ('problem' in outcome)
                return [line('accuracy', words[0]!, undefined, { note: outcome.problem })];
        }
        const lines = await errors(bench, file, 'accuracy.sql', { truth });
        for (const { name, program, script, versions } of others()) {
            if (program === null) {
                lines.push(line('accuracy', name, undefined, { note: `not installed: ${versions}` }));
                continue;
            }
            const theirs = join(bench.folder, `accuracy-${name}.csv`);
            const args = [join(bench.sources, 'others', script), readings, kits, theirs];
            const outcome = await bench.run({ program, args });
            if ('problem' in outcome)
                lines.push(line('accuracy', versions, undefined, { note: outcome.problem }));
            else {
                const found = await errors(bench, file, 'accuracyOfOthers.sql', { truth, theirs });
                lines.push(...found.map((one) => ({ ...one, what: `${name}, ${one.what}` })));
            }
        }
        remove(file);
        return lines;
    },
} satisfies Stage;

import { join } from 'node:path';
import { launchChromium } from '../../tests/support/chromium.js';
import { loadCommand, remove } from '../databases.js';
import { firstPicture } from '../firstPicture.js';
import { line } from '../line.js';
import type { Line, Stage } from '../stage.js';

export default {
    name: 'pages',
    title: 'Pages of 100 vehicles with about 2,000 sessions',
    async run(bench) {
        // Three cars in four have sessions: 27 each make 2,000.
        const { command, file } = await loadCommand(bench, 'pages', {
            vehicles: 100,
            chassis: 10,
            sessions: 27,
        });
        const out = join(bench.folder, 'pages');
        for (const step of [command, bench.program('models', file)]) {
            const outcome = await bench.run(step);
            if ('problem' in outcome) return [line('pages', 'build', undefined, { note: outcome.problem })];
        }
        const trials = await bench.interleave(
            [{ name: 'report', commands: [bench.strutmark('--db', file, '--json', 'report', '--out', out)] }],
            1,
        );
        const report = trials.get('report')!;
        const lines = [line('pages', 'report, all pages', report)];
        if (report.problem === null) {
            const { rows } = JSON.parse(report.stdout) as {
                rows: { name: string; file: string; bytes: number }[];
            };
            for (const { name, bytes } of rows) {
                const figure = { value: bytes / 1e6, unit: 'MB' };
                lines.push(
                    line('pages', `page ${name}`, undefined, {
                        figure,
                        goals: [{ of: 'figure', at_most: 1.5 }],
                    }),
                );
            }
            if (bench.full) lines.push(...(await pictures(rows)));
        }
        remove(file);
        return lines;
    },
} satisfies Stage;

async function pictures(rows: readonly { name: string; file: string }[]): Promise<Line[]> {
    const browser = await launchChromium();
    const lines: Line[] = [];
    for (const { name, file } of rows) {
        const value = await firstPicture(browser, file);
        lines.push(
            line('pages', `first picture of ${name}`, undefined, {
                figure: value === null ? null : { value, unit: 'ms' },
                goals: [{ of: 'figure', at_most: 1000 }],
                note: value === null ? 'no picture on the page' : null,
            }),
        );
    }
    await browser.close();
    return lines;
}

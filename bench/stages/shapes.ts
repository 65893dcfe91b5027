import { join } from 'node:path';
import { fieldOf } from '../data.js';
import { loadCommand, remove } from '../databases.js';
import type { Arm, Trial } from '../interleave.js';
import { line, scaled } from '../line.js';
import { type Shape, shapes } from '../shapes.js';
import type { Bench, Line, Stage } from '../stage.js';

/** Every question, in the order in which each finds what the ones before it have built. */
function questions({ vehicle, chassis }: Shape, folder: string): string[][] {
    return [
        ['check'],
        ['audit'],
        ['slopes'],
        ['gauges'],
        ['drift'],
        ['range'],
        ['clocking', '--chassis', chassis, '--kit', 'k0', '--target', 'street'],
        ['advise', '--vehicle', vehicle, '--target', 'street'],
        ['report', '--out', join(folder, 'shape-pages')],
    ];
}

/** Load and questions of `size` readings in `shape`, each an arm of its own. */
async function arms(bench: Bench, shape: Shape, size: number): Promise<Arm[]> {
    const name = `${shape.name} ${size}`;
    const { command, file } = await loadCommand(bench, name.replaceAll(' ', '-'), {
        ...fieldOf(size),
        shape,
    });
    const asked = questions(shape, bench.folder).slice(0, bench.full ? undefined : 2);
    return [
        { name: `${name} load`, commands: [command], prepare: () => remove(file) },
        ...asked.map((args) => ({
            name: `${name} ${args[0]}`,
            commands: [bench.strutmark('--db', file, '--quiet', ...args)],
        })),
    ];
}

export default {
    name: 'shapes',
    title: 'Cost per reading by the shape of the readings, against readings spread over cars, and as they double',
    async run(bench) {
        const sizes = bench.full ? [5e4, 1e5] : [2500, 5000];
        const asked = bench.full
            ? shapes
            : shapes.filter(({ name }) => ['spread', 'one corner'].includes(name));
        const all: Arm[] = [];
        for (const shape of asked) for (const size of sizes) all.push(...(await arms(bench, shape, size)));
        const trials = await bench.interleave(all, bench.full ? 3 : 1);
        const lines: Line[] = [];
        const [half, size] = sizes as [number, number];
        for (const shape of asked) {
            for (const [what] of [['load'], ...questions(shape, bench.folder)]) {
                const trial = (name: string, of: number): Trial | undefined =>
                    trials.get(`${name} ${of} ${what}`);
                const whole = trial(shape.name, size);
                if (whole === undefined) continue;
                const label = `${what} of ${size.toLocaleString('en')}, ${shape.name}`;
                if (shape.name !== 'spread')
                    lines.push(
                        line('shapes', label, whole, {
                            against: 'spread',
                            baseline: trial('spread', size)!,
                            goals: [{ of: 'wall_ratio', at_most: 3 }],
                        }),
                    );
                lines.push(
                    line('shapes', label, whole, {
                        against: `of ${half.toLocaleString('en')}, per reading`,
                        baseline: scaled(trial(shape.name, half)!, size / half),
                        goals: [{ of: 'wall_ratio', at_most: 1.3 }],
                    }),
                );
            }
        }
        return lines;
    },
} satisfies Stage;

import { fieldOf } from '../data.js';
import { loadCommand, remove } from '../databases.js';
import { line } from '../line.js';
import type { Stage } from '../stage.js';

export default {
    name: 'models',
    title: 'All model tables, against the load of the readings that they are made from',
    async run(bench) {
        const { file, command } = await loadCommand(bench, 'models', fieldOf(bench.size));
        const trials = await bench.interleave([
            { name: 'load', commands: [command], prepare: () => remove(file) },
            { name: 'models', commands: [bench.program('models', file)] },
        ]);
        remove(file);
        return [
            line('models', 'load', trials.get('load')),
            line('models', 'all models', trials.get('models'), {
                against: 'load',
                baseline: trials.get('load')!,
                goals: [{ of: 'wall_ratio', at_most: 2 }],
            }),
        ];
    },
} satisfies Stage;

import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import { together } from './vitest.config.js';

/** What takes longest, dearest first: begun last, one of them would leave a core idle. */
const longest = [
    'shipped',
    'shippedExports',
    'report/browser',
    'model/measuredAngles',
    'model/unevenGauges',
    'recipes',
    'report/hostileNames',
    'model/clusters',
    'door/kill',
    'load/fuzz',
    'model/askedFirst',
];

const place = ({ moduleId }: TestSpecification) => {
    const at = longest.findIndex((name) =>
        moduleId.replace(/\.(proof|sized\.test)\.ts$/, '').endsWith(`tests/${name}`),
    );
    return at < 0 ? longest.length : at;
};

class LongestFirst extends BaseSequencer {
    override async sort(files: TestSpecification[]) {
        return (await super.sort(files)).sort((one, other) => place(one) - place(other));
    }
}

/** What takes long: proofs, and tests whose size `sized` tells, in full. */
export default defineConfig({
    test: {
        ...together,
        name: 'proof',
        maxWorkers: 2,
        include: ['tests/**/*.proof.ts', 'tests/**/*.sized.test.ts'],
        env: { PROOF: 'yes' },
        sequence: { sequencer: LongestFirst },
    },
});

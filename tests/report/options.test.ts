import { expect, test } from 'vitest';
import { UsageError } from '../../src/errors/errors.js';
import { notTaken } from '../../src/errors/messages.js';
import { report } from '../../src/library/questions.js';

const asked = (names: string[], options: object) => report(names, { out: 'nowhere', ...options });

test('an option that a page does not take is refused with the pages that take it', async () => {
    for (const [names, options, message] of [
        [['drift'], { chassis: 'OTTER' }, notTaken('--chassis', ['drift'], ['clocking', 'range', 'sheet'])],
        [
            ['card', 'audit'],
            { vehicle: 'a' },
            notTaken('--vehicle', ['audit'], ['car', 'card', 'clocking', 'drift', 'sheet']),
        ],
        [
            ['slopes', 'check'],
            { kit: 'k' },
            notTaken('--kit', ['slopes', 'check'], ['clocking', 'range', 'stack', 'sheet']),
        ],
        [['sheet'], { target: 't' }, notTaken('--target', ['sheet'], ['card', 'clocking', 'range'])],
        [['range'], { target: ['t', 'u'] }, notTaken('second --target', ['range'], ['card', 'clocking'])],
        [['card'], { shaft: 's' }, notTaken('--shaft', ['card'], ['stack'])],
        [['gauges'], { anonymous: true }, notTaken('--anonymous', ['gauges'], ['audit'])],
        [
            ['clocking'],
            { armLength: 120, threadPitch: 1.5 },
            notTaken('--arm-length', ['clocking'], ['card']),
        ],
    ] as const) {
        const thrown = await asked([...names], options).catch((error: unknown) => error);
        expect(thrown).toBeInstanceOf(UsageError);
        expect((thrown as Error).message).toBe(message);
    }
});

test('what a page takes is not refused, nor anything where all pages are asked for', async () => {
    for (const [names, options] of [
        [['sheet', 'clocking'], { chassis: 'OTTER', kit: 'k' }],
        [['card', 'clocking'], { vehicle: 'a', target: ['t', 'u'] }],
        [['range'], { target: 't', anonymous: false }],
        [['card'], { armLength: 120, threadPitch: 1.5 }],
        [[], { vehicle: 'a', chassis: 'OTTER', kit: 'k', shaft: 's', target: 't', anonymous: true }],
    ] as const) {
        await expect(asked([...names], options)).resolves.toBeTypeOf('function');
    }
});

import type { LoadProgress } from '../load/loadFiles.js';
import type { Output } from './output.js';

const QUIET_MS = 2000;

/** Says how far something long is: nothing in its first seconds, then often on a terminal and seldom elsewhere. */
function paced(output: Output, now: () => number) {
    const interval = output.isLive ? 200 : 5000;
    let current: string | null = null;
    let next = 0;
    return (what: string, done: () => string): void => {
        const time = now();
        if (what !== current) {
            current = what;
            next = time + QUIET_MS;
        }
        if (time < next) return;
        next = time + interval;
        output.progress(`${what}: ${done()}`);
    };
}

const clock = () => performance.now();

export function loadProgress(output: Output, now = clock): (progress: LoadProgress) => void {
    const say = paced(output, now);
    return ({ file, byteCount, ofByteCount }) =>
        say(file, () => {
            const share = Math.floor((100 * byteCount) / Math.max(ofByteCount, 1));
            return `${share} %, ${Math.round(byteCount / 1e6)} of ${Math.round(ofByteCount / 1e6)} MB read`;
        });
}

/** The same for model tables, of which `made` stand already. */
export function modelProgress(output: Output, now = clock): (made: number, of: number) => void {
    const say = paced(output, now);
    return (made, of) => say('model tables', () => `${made} of ${of} made`);
}

import type { LoadProgress } from '../load/loadFiles.js';
import type { Output } from './output.js';

const QUIET_MS = 2000;

/** Says how far a long load is: nothing in the first seconds, then often on a terminal and seldom elsewhere. */
export function loadProgress(output: Output, now: () => number): (progress: LoadProgress) => void {
    const interval = output.isLive ? 200 : 5000;
    let file: string | null = null;
    let next = 0;
    return (progress) => {
        const time = now();
        if (progress.file !== file) {
            file = progress.file;
            next = time + QUIET_MS;
        }
        if (time < next) return;
        next = time + interval;
        const share = Math.floor((100 * progress.byteCount) / Math.max(progress.ofByteCount, 1));
        const size = `${Math.round(progress.byteCount / 1e6)} of ${Math.round(progress.ofByteCount / 1e6)} MB read`;
        output.progress(`${file}: ${share} %, ${size}`);
    };
}

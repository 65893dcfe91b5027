import { fixed } from '../../src/report/format.js';

/** `−3.2 to +4.1 mm`, or a dash. */
export function span(low: number | null, high: number | null): string {
    return low === null || high === null ? '–' : `${fixed(low, 1)} to ${fixed(high, 1)} mm`;
}

import { fixed } from '../../src/report/format.js';

export function percent(share: number | null): string {
    return share === null ? '–' : `${fixed(100 * share, 0)} %`;
}

/** A share in per cent, for a column. */
export function hundred(share: number | null): number | null {
    return share === null ? null : 100 * share;
}

/** `−3.2 to +4.1 mm`, or a dash. */
export function span(low: number | null, high: number | null): string {
    return low === null || high === null ? '–' : `${fixed(low, 1)} to ${fixed(high, 1)} mm`;
}

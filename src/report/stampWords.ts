import type { BuildStamp } from './buildStamp.js';
import { counted } from './format.js';

/** What a page was made from and when, as sentences. */
export function stampWords(stamp: BuildStamp, basis: 'readings' | 'parts'): string {
    const loads = counted(stamp.load_count, 'load');
    const newest = stamp.newest_day ? `, the newest of ${stamp.newest_day}` : '';
    const from =
        basis === 'readings'
            ? `From ${counted(stamp.reading_count, 'reading')} in ${loads}${newest}`
            : `From the parts in ${loads}, no reading`;
    return `${from}. Made ${stamp.made_day ? `on ${stamp.made_day} ` : ''}by Strutmark ${stamp.version}.`;
}

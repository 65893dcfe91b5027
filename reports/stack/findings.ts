import { programName } from '../../src/errors/programName.js';
import { stackMissing, stackReason } from '../../src/model/stackWords.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, listed } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import { pieceWords } from '../../src/units/pieceWords.js';
import { drawnStacks, kitsOf, type Rows } from './rows.js';

/** What one box serves, and what it lacks for the other shafts. */
function ofBox(rows: Rows, kit: string): string {
    const own = rows.stacks.filter((row) => row.kit === kit);
    const served = own.filter(({ sound }) => sound).map(({ shaft }) => shaft);
    const all = counted(own.length, 'shaft');
    const head =
        served.length === 0
            ? `Makes no sound stack on any of ${all}.`
            : `Makes a sound stack on ${served.length} of ${all}: ${listed(served)}.`;
    const lacking = own
        .filter(({ sound }) => !sound)
        .map((row) => `On ${row.shaft} it lacks ${stackMissing(row)}.`);
    return [head, ...lacking, ...spare(rows, kit)].join(' ');
}

/** Parts that nobody needs; only where all shafts are on the page. */
function spare(rows: Rows, kit: string): string[] {
    const own = rows.parts.filter((row) => row.kit === kit);
    if (
        own.length === 0 ||
        own.some(({ shaft_count }) => shaft_count !== rows.stacks.filter((row) => row.kit === kit).length)
    )
        return [];
    const names = own.filter(({ sound_count }) => sound_count === 0).map(({ part }) => part);
    const kept = own.reduce((sum, { smallest_count }) => sum + smallest_count, 0);
    const all = own.reduce((sum, { part_count }) => sum + part_count, 0);
    return [
        ...(names.length > 0 ? [`No sound stack uses ${listed(names)}.`] : []),
        ...(kept > 0 && kept < all
            ? [`The smallest box found that serves the same has ${kept} of the ${counted(all, 'piece')}.`]
            : []),
    ];
}

/** What the page found, box by box. */
export function findings(rows: Rows): Finding[] {
    if (rows.stacks.length === 0) {
        return [
            {
                text: 'There is nothing to stack: the database holds no shafts, or no parts that go on one. Load a shafts file and a hardware file.',
            },
        ];
    }
    const [only] = rows.stacks;
    if (rows.stacks.length === 1) {
        const missing = stackMissing(only!);
        return [
            {
                about: `${only!.kit} on ${only!.shaft}`,
                text: `${only!.sound ? 'Sound' : 'Not sound'}. ${capital(stackReason(only!))}.${missing === null ? '' : ` Missing: ${missing}.`} From the seat upward: ${pieceWords(only!.parts)}.`,
            },
        ];
    }
    const notDrawn = rows.stacks.length - drawnStacks(rows).length;
    return [
        ...kitsOf(rows).map((kit) => ({ about: kit, text: ofBox(rows, kit) })),
        ...(notDrawn > 0
            ? [
                  {
                      about: 'Not drawn',
                      text: `${counted(notDrawn, 'stack')}: those that lack a part, and what goes beyond 12 pictures. The tables have them, and ${programName()} report stack --kit KIT --shaft SHAFT draws one.`,
                  },
              ]
            : []),
    ];
}

import { stackMissing } from '../../src/model/stackWords.js';
import { counted, fixed, listed } from '../../src/report/format.js';
import { kitsOf, type Rows, type Stack } from './rows.js';

const soundOf = (rows: Rows, kit: string) => rows.stacks.filter((row) => row.kit === kit && row.sound);

/** How many shafts each box serves. */
export function headline(rows: Rows): string {
    if (rows.stacks.length === 0) return 'No shaft and no part to stack yet';
    const shafts = new Set(rows.stacks.map(({ shaft }) => shaft)).size;
    const [only] = rows.stacks;
    if (rows.stacks.length === 1)
        return `${only!.kit} makes ${only!.sound ? 'a sound stack' : 'no sound stack'} on ${only!.shaft}`;
    const kits = kitsOf(rows)
        .map((kit) => ({ kit, count: soundOf(rows, kit).length }))
        .sort((a, b) => b.count - a.count || a.kit.localeCompare(b.kit));
    const [first, ...others] = kits;
    const rest = others.slice(0, 2).map(({ kit, count }) => `${kit} on ${count}`);
    return `${first!.kit} stacks soundly on ${first!.count} of ${counted(shafts, 'shaft')}${rest.length === 0 ? '' : `, ${listed(rest)}`}`;
}

/** The sound stack with the least to spare at its worst tolerances. */
function tightest(rows: Rows): string[] {
    const room = (row: Stack) => row.shoulder_margin_low_mm - row.min_margin_mm;
    const [least] = rows.stacks.filter((row) => row.sound).sort((a, b) => room(a) - room(b));
    if (least === undefined) return [];
    return [
        `The tightest sound one is ${least.kit} on ${least.shaft}: ${fixed(least.shoulder_margin_mm, 1)} mm above the shoulder, ${fixed(least.shoulder_margin_low_mm, 1)} mm at the worst tolerances.`,
    ];
}

/** A part that would make one more sound, where the fewest are missing. */
function nearest(rows: Rows): string[] {
    const [row] = rows.stacks
        .filter(({ sound }) => !sound)
        .sort((a, b) => a.defects.length - b.defects.length || a.place - b.place);
    const missing = row === undefined ? null : stackMissing(row);
    return missing === null ? [] : [`Nearest to one more: ${row!.kit} on ${row!.shaft} lacks ${missing}.`];
}

/** What is tight, what is missing, and how to check it. */
export function answer(rows: Rows): string[] {
    if (rows.stacks.length === 0) return [];
    return [...tightest(rows), ...nearest(rows), 'Put the stack together without the spring first.'];
}

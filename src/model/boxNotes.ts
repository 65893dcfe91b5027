import type { StackRow } from '../contracts/results/stack.js';
import { plain } from '../units/plain.js';

/** A part of a box and what the shafts of the shafts table make of it. */
export interface BoxPart {
    part: string;
    fits_diameter_mm: number | null;
    /** Its bore takes one of the shafts. */
    fits_any: boolean;
    /** Some sound stack uses it. */
    in_sound: boolean;
    /** Pieces in the smallest box found. */
    smallest_count: number;
}

function servedNote(kit: string, rows: readonly StackRow[]): string {
    const served = rows.filter(({ sound }) => sound).map(({ shaft }) => shaft);
    if (rows.length === 1)
        return `The box ${kit} ${served.length === 1 ? 'serves' : 'does not serve'} ${rows[0]!.shaft}, the one shaft listed.`;
    if (served.length === rows.length) return `The box ${kit} serves all ${rows.length} shafts.`;
    return served.length === 0
        ? `The box ${kit} serves none of ${rows.length} shafts.`
        : `The box ${kit} serves ${served.length} of ${rows.length} shafts: ${served.join(', ')}.`;
}

function smallestNote(parts: readonly BoxPart[], servedCount: number): string[] {
    const kept = parts.filter(({ smallest_count }) => smallest_count > 0);
    if (kept.length === 0) return [];
    const pieces = kept.map(({ part, smallest_count: count }) => (count === 1 ? part : `${count} x ${part}`));
    const total = kept.reduce((sum, { smallest_count }) => sum + smallest_count, 0);
    return [
        `The smallest box found that serves ${servedCount === 1 ? 'the same shaft' : `the same ${servedCount} shafts`} has ${total} pieces: ${pieces.join(', ')}.`,
    ];
}

/** What `stack` without a shaft says besides its rows, the best stack of each shaft. */
export function boxNotes(kit: string, rows: readonly StackRow[], parts: readonly BoxPart[]): string[] {
    const list = (chosen: readonly BoxPart[], text: (names: string) => string) =>
        chosen.length === 0 ? [] : [text(chosen.map(({ part }) => part).join(', '))];
    const inBest = new Set(rows.filter(({ sound }) => sound).flatMap((row) => row.parts));
    const foreign = parts.filter(({ fits_any }) => !fits_any);
    const bores = [...new Set(foreign.map((one) => `${plain(one.fits_diameter_mm!, 2)} mm`))];
    return [
        servedNote(kit, rows),
        ...rows
            .filter(({ sound }) => !sound)
            .map(({ shaft, reason, missing }) => `${shaft}: ${reason}. Missing: ${missing}.`),
        ...list(foreign, (names) => `No listed shaft has the bore of ${names} (${bores.join(', ')}).`),
        ...list(
            parts.filter(({ fits_any, in_sound }) => fits_any && !in_sound),
            (names) => `No sound stack on a listed shaft uses ${names}.`,
        ),
        ...list(
            parts.filter(({ part, in_sound }) => in_sound && !inBest.has(part)),
            (names) => `The best stacks do without ${names}, though other sound ones use it.`,
        ),
        ...smallestNote(parts, rows.filter(({ sound }) => sound).length),
        'Parts are counted for one stack; for both sides of a car from one box ask with --set stack_count=2.',
    ];
}

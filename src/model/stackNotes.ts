import type { MeasuredStackRow, StackRow } from '../contracts/results/stack.js';
import { capital } from '../units/capital.js';
import { pieceWords } from '../units/pieceWords.js';
import { plain } from '../units/plain.js';
import { rangeWords } from './stackWords.js';

/** What the sentences need besides the published rows, of the best stack. */
interface StackContext {
    keep: number | true | undefined;
    best: MeasuredStackRow;
    /** Parts that go on the shaft, of roles that the best stack leaves out, and are not marked as required. */
    omitted: readonly string[];
}

function headline({ kit, shaft, parts, sound, reason, missing }: StackRow): string {
    const order = parts.length === 0 ? 'nothing at all' : `${pieceWords(parts)}, from the seat upward`;
    return sound
        ? `The box ${kit} makes a sound dry stack on ${shaft}: ${order}. ${capital(reason)}.`
        : `Nothing in the box ${kit} makes a sound stack on ${shaft}. The nearest is ${order}; ${reason}. Missing: ${missing}.`;
}

function leftNote({ left_parts, sound }: StackRow, omitted: readonly string[]): string[] {
    if (left_parts.length === 0) return [];
    const remark =
        sound && omitted.length > 0
            ? ` Of these, ${omitted.join(', ')} would go on this shaft: a part that must be used says required = yes in the hardware file.`
            : '';
    return [`Stays in the box: ${pieceWords(left_parts)}.${remark}`];
}

function plateNote({ keep, best }: StackContext): string[] {
    if (best.spring_plate === 'kit') return [];
    const why = keep === undefined ? ', because none of the box is' : '';
    if (typeof keep === 'number') {
        return [
            `The car's own spring plate is used and adds ${plain(keep, 2)} mm between seat and nut face, as told.`,
        ];
    }
    const least = Math.max(best.margin_short_mm, 0);
    const [low, high] = [least === 0 ? 0 : least + best.spacer_tol_mm, best.room_mm - best.spacer_tol_mm];
    const mendable = best.defects.length === 0 && best.short_mm <= least && low <= high;
    return [
        `The car's own spring plate is used${why}. What it adds between seat and nut face is not told and counts as 0 mm: measure it and say --keep-spring-plate MM.${mendable ? ` This stack is sound where it adds ${rangeWords(low, high)}.` : ''}`,
    ];
}

function heightNote({ bearing, plate_to_bearing_mm: height }: StackRow): string {
    const rule = 'the body stands about 1 mm higher for each millimetre more there';
    const alike = 'Keep left and right alike, and read the alignment again where it changes.';
    return bearing === 'spring_plate'
        ? `The box has no bearing: the bearing is taken to sit in the spring plate, the mount rests on it, and no clearance is judged. Ride height: what goes between spring plate and mount raises the body by about its height. ${alike}`
        : `Ride height: ${plain(height!, 2)} mm between spring plate and bearing; ${rule}. ${alike}`;
}

function countNote({ box_stack_count: count }: StackRow): string {
    return count === 1
        ? 'The box holds parts for one such stack. For both sides of a car from one box ask with --set stack_count=2.'
        : `The box holds parts for ${count} such stacks.`;
}

/** What `stack --shaft` says besides its rows, the best of which is `row`. */
export function stackNotes(row: StackRow, context: StackContext): string[] {
    return [
        headline(row),
        ...plateNote(context),
        ...leftNote(row, context.omitted),
        ...(row.sound ? [heightNote(row), countNote(row)] : []),
        'Put it together without the spring first, and check it by hand before a spring is compressed over it.',
    ];
}

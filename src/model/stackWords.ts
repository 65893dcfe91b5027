import type { MeasuredStackRow } from '../contracts/results/stack.js';
import { plain } from '../units/plain.js';

const mm = (value: number) => `${plain(value, 2)} mm`;

function marginFault(stack: MeasuredStackRow): string {
    const { shoulder_margin_mm: margin, min_margin_mm: least } = stack;
    if (margin <= 0) {
        return `the nut bottoms on the shoulder: the parts clamp ${mm(stack.clamped_length_mm)}, the shoulder is ${mm(stack.shoulder_length_mm)} long`;
    }
    if (margin < least) {
        return `the parts stand only ${mm(margin)} above the shoulder, and ${mm(least)} are needed`;
    }
    return `the parts stand ${mm(margin)} above the shoulder, but only ${mm(stack.shoulder_margin_low_mm)} at the worst tolerances (${mm(stack.shoulder_margin_rss_low_mm)} as root sum of squares), and ${mm(least)} are needed`;
}

function clearanceFault(clearance: number, stack: MeasuredStackRow): string {
    const { min_clearance_mm: least } = stack;
    if (clearance <= 0) {
        return `the loaded mount sits on the spring plate${clearance < 0 ? `, ${mm(-clearance)} too low` : ''}, and ${mm(least)} of clearance are needed`;
    }
    if (clearance < least) {
        return `the loaded mount clears the spring plate by ${mm(clearance)} only, and ${mm(least)} are needed`;
    }
    return `the loaded mount clears the spring plate by ${mm(clearance)}, but only ${mm(stack.clearance_low_mm!)} at the worst tolerances, and ${mm(least)} are needed`;
}

function threadFault(shown: number, stack: MeasuredStackRow): string {
    const { min_shown_mm: least } = stack;
    if (shown < 0) return `the thread ends ${mm(-shown)} below the top of the nut`;
    if (shown < least) {
        return `only ${mm(shown)} of thread show above the nut, and ${mm(least)} are needed`;
    }
    return `${mm(shown)} of thread show above the nut, but only ${mm(stack.thread_shown_low_mm!)} at the worst tolerances, and ${mm(least)} are needed`;
}

const dropUnknown = ({ bearing, bearing_part, drop_mm }: MeasuredStackRow) =>
    bearing === 'stack' && bearing_part !== null && drop_mm === null;
const nutUnknown = ({ nut_part, nut_height_mm }: MeasuredStackRow) =>
    nut_part !== null && nut_height_mm === 0;

function faults(stack: MeasuredStackRow): string[] {
    const { clearance_mm, clearance_low_mm, thread_shown_mm, thread_shown_low_mm } = stack;
    return [
        ...stack.defects.map(({ text }) => text),
        ...(dropUnknown(stack)
            ? [`the drop of ${stack.bearing_part} is not given, so its clearance is not known`]
            : []),
        ...(nutUnknown(stack)
            ? [`the height of ${stack.nut_part} is not given, so its hold on the thread is not known`]
            : []),
        ...(stack.margin_short_mm > 0 ? [marginFault(stack)] : []),
        ...(clearance_mm !== null && clearance_low_mm! < stack.min_clearance_mm
            ? [clearanceFault(clearance_mm, stack)]
            : []),
        ...(thread_shown_mm !== null && thread_shown_low_mm! < stack.min_shown_mm
            ? [threadFault(thread_shown_mm, stack)]
            : []),
    ];
}

function soundWords(stack: MeasuredStackRow): string {
    const { shoulder_margin_mm: margin, wish_margin_low_mm: low, wish_margin_high_mm: high } = stack;
    const wish = `the wished ${plain(low, 2)} to ${mm(high)}`;
    const remark = margin < low ? `, under ${wish}` : margin > high ? `, over ${wish}` : '';
    return [
        `the parts stand ${mm(margin)} above the shoulder (${plain(stack.shoulder_margin_low_mm, 2)} at the worst tolerances, ${plain(stack.shoulder_margin_rss_low_mm, 2)} as root sum of squares)${remark}`,
        `${mm(stack.thread_shown_mm!)} of thread show above the nut (at worst ${plain(stack.thread_shown_low_mm!, 2)})`,
        ...(stack.clearance_mm === null
            ? []
            : [
                  `the loaded mount clears the spring plate by ${mm(stack.clearance_mm)} (at worst ${plain(stack.clearance_low_mm!, 2)})`,
              ]),
    ].join('; ');
}

/** Why a stack is sound or not, without a full stop. */
export function stackReason(stack: MeasuredStackRow): string {
    return stack.sound ? soundWords(stack) : faults(stack).join('; ');
}

const up = (value: number) => Math.ceil(value * 10 - 1e-6) / 10;
const down = (value: number) => Math.floor(value * 10 + 1e-6) / 10;

/** `2.1 to 4.6 mm`: a range rounded inward to 0.1 mm where it is wide enough, else with the digits it has. */
export function rangeWords(low: number, high: number): string {
    const [from, to] = up(low) <= down(high) ? [up(low), down(high)] : [low, high];
    return from === to ? mm(from) : `${plain(from, 2)} to ${mm(to)}`;
}

/** What would mend the heights; empty where they are right. */
function heightLack(stack: MeasuredStackRow): string[] {
    const { short_mm: short, margin_short_mm: marginShort, room_mm: room, spacer_tol_mm: tol } = stack;
    const place = stack.bearing === 'stack' ? 'between spring plate and mount' : 'under the nut';
    const [least, most] = [short + tol, room - tol];
    if (short > 0 && (stack.nut_part === null || nutUnknown(stack)))
        return [`a spacer of at least ${mm(up(least))} ${place}`];
    if (short > 0 && least <= most) return [`a spacer of ${rangeWords(least, most)} ${place}`];
    if (short > 0) {
        const excess = up(least - most);
        return marginShort > 0 && marginShort + tol > most
            ? [
                  `${mm(excess)} more thread, or a nut lower by as much, and then a spacer of ${mm(up(least))} ${place}`,
              ]
            : [
                  `a spacer of ${mm(up(least))} ${place}, and either ${mm(excess)} less height above the mount or below the spring plate, or as much more thread`,
              ];
    }
    if (room >= 0) return [];
    return -room <= -marginShort
        ? [
              `parts lower by ${rangeWords(-room, -marginShort)} in all${-room > -short ? ', though not between spring plate and mount' : ''}, or ${mm(up(-room))} more thread`,
          ]
        : [`${mm(up(-room))} more thread, or a nut lower by as much`];
}

/** Without a nut: which one would do. */
function nutLack(stack: MeasuredStackRow): string {
    const spacer = stack.short_mm > 0 ? stack.short_mm + 2 * stack.spacer_tol_mm : 0;
    const height = down(stack.room_mm - spacer - stack.spacer_tol_mm);
    return `a nut for a ${plain(stack.seat_diameter_mm, 2)} mm shaft${height > 0 ? `, at most ${mm(height)} high` : ''}`;
}

/** With parts of other roles lacking: what they have to add, since heights can only be judged with them. */
function partLack(lacks: readonly string[], stack: MeasuredStackRow): string {
    const { margin_short_mm: short, room_mm: room } = stack;
    const height = short > 0 && short <= room ? `, which add ${rangeWords(short, room)} in all` : '';
    return `${lacks.join(', ')}${height}`;
}

/** What would make an unsound stack sound; null where it is sound. */
export function stackMissing(stack: MeasuredStackRow): string | null {
    if (stack.sound) return null;
    const lacks = stack.defects.map(({ lack }) => lack).filter((lack) => !lack.startsWith('a nut for'));
    return [
        ...(lacks.length > 0 ? [partLack(lacks, stack)] : []),
        ...(stack.nut_part === null ? [nutLack(stack)] : []),
        ...(dropUnknown(stack) ? [`the drop of ${stack.bearing_part} in the hardware file`] : []),
        ...(nutUnknown(stack) ? [`the height of ${stack.nut_part} in the hardware file`] : []),
        ...(lacks.length > 0 ? [] : heightLack(stack)),
    ].join('; and ');
}

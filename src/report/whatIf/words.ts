import { percent } from '../../units/percent.js';
import { plain } from '../../units/plain.js';
import type { Design, Field, Kit } from './model.js';
import type { Reach } from './reachOf.js';

/** The answer in a sentence. */
export function reachWords(field: Field, reach: Reach): string {
    const range = `${percent(reach.low)} to ${percent(reach.high)}`;
    const counted = field.out.length;
    const corners =
        counted === field.cornerCount
            ? `${counted} corners`
            : `${counted} corners, taken by chance from ${field.cornerCount},`;
    return `Reached: ${percent(reach.share)} of ${corners} in the best index (95 % interval ${range}).`;
}

/** Per index, the plate of the corner's own side alone. */
export function indexWords(reach: Reach): string {
    const own = reach.slots.filter(({ slot }) => slot.own);
    return `By one index alone, own hand: ${own.map(({ slot, share }) => `${slot.index}: ${percent(share)}`).join(', ')}.`;
}

/** The kit's row for this chassis before its row for any. */
export function kitFor(kits: readonly Kit[], name: string, chassis: string): Kit | undefined {
    const own = kits.find((one) => one.kit === name && one.chassis === chassis);
    return own ?? kits.find((one) => one.kit === name && one.chassis === null);
}

const number = (value: number) => plain(value, 2).replace('-', '−');

/** The plate that the sliders stand for, in words: paper has no sliders. */
export function designWords({ half_mm, side_mm, middle, axis_deg }: Design): string {
    const side = side_mm > 0 ? `, second scale ± ${number(side_mm)} mm` : '';
    return `Slot ± ${number(half_mm)} mm${side}, its middle ${number(middle.out)} mm outboard and ${number(middle.aft)} mm rearward, at ${number(axis_deg)}° in index 1.`;
}

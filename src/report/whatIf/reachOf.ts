import type { Design, Field } from './model.js';
import { requiredHalfLength } from './requiredHalfLength.js';
import { type Slot, slotsOf } from './slots.js';

export interface Reach {
    /** Per corner: in the best position that the pair of its car leaves it. */
    reached: boolean[];
    share: number;
    /** 95 % Wilson interval. */
    low: number;
    high: number;
    slots: readonly { slot: Slot; share: number }[];
}

const z = 1.959963984540054;

/** 95 % Wilson interval of `share` from `count`. */
function wilson(share: number, count: number): [number, number] {
    const middle = (share + (z * z) / (2 * count)) / (1 + (z * z) / count);
    const half =
        (z * Math.sqrt((share * (1 - share)) / count + (z * z) / (4 * count * count))) /
        (1 + (z * z) / count);
    return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

const mean = (flags: readonly boolean[]) => flags.filter(Boolean).length / flags.length;

/** Corners of each car. */
function carsOf(car: readonly number[]): number[][] {
    const cars = new Map<number, number[]>();
    for (const [corner, number] of car.entries()) cars.set(number, [...(cars.get(number) ?? []), corner]);
    return [...cars.values()];
}

/**
 * What a plate of `design` reaches of `field`: each car takes both plates of one pair, each corner its best index.
 * `effectiveCount`: independent corners that the share rests on.
 */
export function reachOf(field: Field, design: Design, effectiveCount: number): Reach {
    const slots = slotsOf(design);
    const required = slots.map((slot) =>
        field.out.map((out, corner) =>
            requiredHalfLength({ out, aft: field.aft[corner]! }, slot, field.camber, field.caster),
        ),
    );
    const within = required.map((lengths) => lengths.map((length) => length <= design.half_mm + 1e-9));
    const inHand = (own: boolean) =>
        field.out.map((_, corner) =>
            slots.some((slot, place) => slot.own === own && within[place]![corner]!),
        );
    const [own, other] = [inHand(true), inHand(false)];
    const reached = field.out.map(() => false);
    for (const corners of carsOf(field.car)) {
        const count = (hand: readonly boolean[]) => corners.filter((corner) => hand[corner]).length;
        const better = count(other) > count(own) ? other : own;
        for (const corner of corners) reached[corner] = better[corner]!;
    }
    const share = mean(reached);
    const [low, high] = wilson(share, effectiveCount);
    return {
        reached,
        share,
        low,
        high,
        slots: slots.map((slot, place) => ({ slot, share: mean(within[place]!) })),
    };
}

import type { CarPattern } from './carPatterns.js';
import { carCauses, cornerCauses } from './causes/index.js';
import { Component } from './components.js';
import type { Corner, Front } from './corner.js';
import type { Vector } from './gaussian.js';
import type { Pattern } from './patterns.js';

/** A size class of a cause on a corner, or a cause on the whole car, which has one. */
interface Category {
    cause: string;
    size: number;
    /** Share before the data; of what is left, NaN. */
    share: number;
    /** Probability that setting the bearing anew undoes it. */
    undone: number;
}

export interface CornerCategory extends Category {
    components: readonly { patternOf: (front: Front) => Pattern | null; component: Component }[];
}

/** A normal component, about 0, of the size of a cause on the whole car. */
export interface CarComponent {
    pattern: CarPattern;
    /** Place of its cause. */
    place: number;
    /** Place of its effect on the rears; null where they stay as they were. */
    rear: number | null;
    variance: number;
    share: number;
}

/** Components of which the same noise comes: variances of a front's changes by size squared, and the mean square of the size. */
export interface CarGroup {
    components: readonly CarComponent[];
    unknown: CarPattern['unknown'];
    variance: number;
}

/** What may have happened, in the order of lists of likelihoods, that a corner held first. */
export interface Categories {
    corner: readonly CornerCategory[];
    /** Places in `corner` of slips: they are weighed beside causes on the car. */
    slips: readonly number[];
    /** Causes on the car. */
    car: readonly Category[];
    /** Their components, those together of which the same noise comes, or none. */
    carGroups: readonly CarGroup[];
    /** Effects of causes on the car on its rears. */
    rears: readonly ((rear: Corner) => Vector)[];
}

const corner = cornerCauses.flatMap(({ name, share, undone, sizes, ...cause }) =>
    sizes.map((size, i) => ({
        cause: name,
        size: i + 1,
        share: share * size.share,
        undone,
        isSlip: 'isSlip' in cause,
        components: size.ways.map(({ pattern, mean, sd, share: part }) => ({
            patternOf: pattern,
            component: new Component(mean, sd, part),
        })),
    })),
);

const rears = [
    ...new Set(
        carCauses.flatMap(({ ways }) =>
            ways.flatMap(({ pattern: { rear } }) => (rear === null ? [] : [rear])),
        ),
    ),
];
const carComponents = carCauses.flatMap(({ ways }, place) =>
    ways.map(
        ({ pattern, sd, share }): CarComponent => ({
            pattern,
            place,
            rear: pattern.rear === null ? null : rears.indexOf(pattern.rear),
            variance: sd * sd,
            share,
        }),
    ),
);

function groupsOf(components: readonly CarComponent[]): CarGroup[] {
    const groups: (CarGroup & { components: CarComponent[] })[] = [];
    for (const one of components) {
        const { variance } = one;
        const { unknown } = one.pattern;
        const found = groups.find(
            (group) => group.unknown === unknown && (unknown === null || group.variance === variance),
        );
        if (found === undefined) groups.push({ components: [one], unknown, variance });
        else found.components.push(one);
    }
    return groups;
}

/** The categories of all causes. */
export const categories: Categories = {
    corner,
    slips: corner.flatMap(({ isSlip }, place) => (isSlip ? [place] : [])),
    car: carCauses.map(({ name, share, undone }) => ({ cause: name, size: 1, share, undone })),
    carGroups: groupsOf(carComponents),
    rears,
};

import { type Corner, type Front, moved } from './corner.js';
import { type Vector, vector } from './gaussian.js';

/** Which changes follow from a cause on the whole car. */
export interface CarPattern {
    /** Changes of a front for a size of 1. */
    front(front: Front): Vector;
    /** Changes of a rear, of which camber and toe are read; null where it stays as it was. */
    rear: ((rear: Corner) => Vector) | null;
    /** Variances of a front's changes by size squared, from what is not known of the effect; null where it is known. */
    unknown: ((front: Front) => Vector) | null;
}

const alike = (effect: (corner: Corner) => Vector): CarPattern => ({
    front: effect,
    rear: effect,
    unknown: null,
});
const onFronts = (front: (front: Front) => Vector): CarPattern => ({
    front,
    rear: null,
    unknown: null,
});

/** Patterns of table car_components, by the names of its components. */
const patterns: Readonly<Record<string, CarPattern>> = {
    /** A cradle that moves sideways moves both bearings the other way. */
    cradle: {
        front(front) {
            const effect = moved(front, -front.side, 0);
            return vector(effect[0]!, effect[1]!, effect[2]!, effect[3]!);
        },
        rear: null,
        unknown({ chassis }) {
            const [camber, caster, sai, toe] = chassis.slopes.map((one) => one.outVariance + one.spread);
            return vector(camber!, caster!, sai!, toe!);
        },
    },
    roll: alike(({ side }) => vector(side, 0, -side, 0)),
    'camber zero': alike(() => vector(1, 0, 0, 0)),
    'caster zero': onFronts(() => vector(0, 1, 0, 0)),
    'toe zero': alike(({ toeReadPart }) => vector(toeReadPart, 0, 0, 1)),
    steering: onFronts(({ side, toePart }) => vector(-side * toePart, 0, 0, side)),
};

/** The pattern of that component. Throws where there is none. */
export function carPatternNamed(name: string): CarPattern {
    const found = patterns[name];
    if (found === undefined)
        throw new Error(`car_components: src/stats/drift/carPatterns.ts has no pattern ${name}`);
    return found;
}

import { type Corner, type Front, moved } from './corner.js';
import { type Vector, vector } from './gaussian.js';

/** Which changes follow from a cause on the whole car. */
export interface CarPattern {
    /** Changes of a front for a size of 1. */
    front(front: Front): Vector;
    /** Changes of a rear, of which camber and toe are read; null where it stays as it was. */
    rear: ((rear: Corner) => Vector) | null;
    /** Variances of a front's changes by size squared, from what is not known of the effect; null where it is known. One function for one noise. */
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

/** A cradle that moves sideways moves both bearings the other way. */
export const cradle: CarPattern = {
    front: (front) => moved(front, -front.side, 0),
    rear: null,
    unknown({ chassis }) {
        const [camber, caster, sai, toe] = chassis.slopes.map((one) => one.outVariance + one.spread);
        return vector(camber!, caster!, sai!, toe!);
    },
};

const always = (effect: Vector) => () => effect;

const [rolledLeft, rolledRight] = [vector(1, 0, -1, 0), vector(-1, 0, 1, 0)];
export const roll = alike(({ side }) => (side > 0 ? rolledLeft : rolledRight));
export const camberZero = alike(always(vector(1, 0, 0, 0)));
export const casterZero = onFronts(always(vector(0, 1, 0, 0)));
export const toeZero = alike(({ toeReadPart }) => vector(toeReadPart, 0, 0, 1));
export const steering = onFronts(({ side, toePart }) => vector(-side * toePart, 0, 0, side));

/**
 * Degrees per millimetre that an axle stands higher: camber of its wheels, which the included angle keeps in SAI, on most chassis and on those
 * with short or steep arms, and caster, by rake over 2.6 m (common practice, no source; 10 mm over 2600 mm are 0.22 deg by geometry).
 */
const perMm = { camber: 0.015, steepCamber: 0.035, rake: 0.022 };
/** Variances of these and of toe, deg2/mm2: gains differ from car to car (common practice, no source). */
const gains = { camber: 0.012 * 0.012, rake: 0.006 * 0.006, toe: 0.008 * 0.008 };

/** Of a rear that stays as it is, and of one that stands a millimetre higher: each made once for all that it is a part of. */
const rears = [0, 1].map((rear) => always(vector(rear * perMm.camber, 0, 0, 0, 0, 0, rear)));

/** Of fronts that stand higher or not, with rake or without. */
const unknownOf = (front: 0 | 1, rakes: 0 | 1) =>
    always(vector(front * gains.camber, rakes * gains.rake, front * gains.camber, front * gains.toe));

const height = (front: 0 | 1, rear: 0 | 1, unknown: () => Vector, camber = perMm.camber): CarPattern => ({
    front: always(vector(front * camber, (front - rear) * perMm.rake, -front * camber, 0, 0, 0, front)),
    rear: rears[rear]!,
    unknown,
});

const [ofFronts, ofRears, ofAll] = [unknownOf(1, 1), unknownOf(0, 1), unknownOf(1, 0)];

/** Both fronts stand a millimetre higher; both rears; all four. */
export const frontHeight = height(1, 0, ofFronts);
export const rearHeight = height(0, 1, ofRears);
export const wholeHeight = height(1, 1, ofAll);
/** The same of fronts with short or steep arms. */
export const steepFrontHeight = height(1, 0, ofFronts, perMm.steepCamber);
export const steepWholeHeight = height(1, 1, ofAll, perMm.steepCamber);

import { type Front, moved, slipsOf, unknownOfMove, unknownOfSlip } from './corner.js';
import { type Cause, nothing, type Vector } from './gaussian.js';

/** How a cause shows on one front corner. */
export interface Pattern extends Cause {
    /** Probability that it shows in this way. */
    probability: number;
    /** Farthest sizes down and up, see {@link Front.ends}. */
    ends: Front['ends'];
}

/** What moves no plate moves no pointer, which then is misread by 1 mm. */
const misread: Vector = [0, 0, 0, 0, 1, 1];

const held = { first: nothing, second: nothing, unknown: nothing, misread, probability: 1, ends: null };
const one = (first: Vector): Pattern => ({ ...held, first });

/** The knuckle turns, with `ratio` degrees of toe per degree of camber. */
const bend = (
    { toePart }: Front,
    ratio: number,
    ratioVariance: number,
    sai: number,
    probability = 1,
): Pattern => ({
    ...held,
    first: [1 - toePart * ratio, 0, sai, ratio, 0, 0],
    unknown: [toePart * toePart * ratioVariance, 0, 0, ratioVariance, 0, 0],
    probability,
});

const [camber, caster, sai] = [one([1, 0, 0, 0, 0, 0]), one([0, 1, 0, 0, 0, 0]), one([0, 0, 1, 0, 0, 0])];
/** 1 deg of camber and toe, 2 deg of caster and SAI. */
const unexplained = { ...held, unknown: [1, 4, 4, 1, 0, 0] };

/** Patterns of table drift_components, by name; null where a front cannot show them. */
const patterns: Readonly<Record<string, (front: Front) => Pattern | null>> = {
    held: () => held,
    /** Along what the plate allows. */
    slip(front) {
        if (front.freedom === 'none') return null;
        const [first, second = nothing] = slipsOf(front) as [Vector, Vector?];
        const ends = front.freedom === 'slot' ? front.ends : null;
        return { first, second, unknown: unknownOfSlip(front), misread: nothing, probability: 1, ends };
    },
    /** In any direction; in a plane it is a slip. */
    move(front) {
        if (front.freedom === 'plane') return null;
        const [first, second] = [moved(front, 1, 0), moved(front, 0, 1)];
        const unknown = unknownOfMove(front, null);
        return { first, second, unknown, misread: nothing, probability: 1, ends: null };
    },
    spindle: () => camber,
    /** A strut bent over the knuckle turns it about the ball joint: toe follows camber as in a slip while SAI stays. */
    strut: (front) => bend(front, front.chassis.toeRatio, front.chassis.toeRatioVariance, 0),
    toe: ({ toePart }) => one([-toePart, 0, 0, 1, 0, 0]),
    /** An arm moves SAI against camber and drags the tie rod, 4.8 +- 0.6 deg of toe per deg of camber (common practice). */
    arm_toe_in: (front) => bend(front, 4.8, 0.36, -1, front.chassis.toeIn),
    arm_toe_out: (front) => bend(front, -4.8, 0.36, -1, front.chassis.toeOut),
    caster: () => caster,
    camber_misread: () => camber,
    caster_misread: () => caster,
    sai_misread: () => sai,
    /** And with it camber brought to equal toe. */
    toe_misread: ({ toeReadPart }) => one([toeReadPart, 0, 0, 1, 0, 0]),
    unexplained: () => unexplained,
};

/** The pattern of that name. Throws where there is none. */
export function patternNamed(name: string): (front: Front) => Pattern | null {
    const found = patterns[name];
    if (found === undefined)
        throw new Error(`drift_components: src/stats/drift/patterns.ts has no pattern ${name}`);
    return found;
}

import { type Front, moved, slipsOf, unknownOfMove, unknownOfSlip } from './corner.js';
import { Cause, nothing, vector } from './gaussian.js';

/** How a cause shows on one front corner. */
export interface Pattern {
    cause: Cause;
    /** Probability that it shows in this way. */
    probability: number;
    /** Farthest sizes down and up, see {@link Front.ends}. */
    ends: Front['ends'];
}

const patternOf = (cause: Cause, probability = 1, ends: Front['ends'] = null): Pattern => ({
    cause,
    probability,
    ends,
});

/** What moves no plate moves no pointer, which then is misread by 1 mm. */
const misread = vector(0, 0, 0, 0, 1, 1);

const one = (camber: number, caster: number, sai: number, toe: number): Pattern =>
    patternOf(new Cause(vector(camber, caster, sai, toe), nothing, nothing, misread));

/** The knuckle turns, with `ratio` degrees of toe per degree of camber. */
function bend({ toePart }: Front, ratio: number, variance: number, sai: number, probability = 1): Pattern {
    const effect = vector(1 - toePart * ratio, 0, sai, ratio);
    const unknown = vector(toePart * toePart * variance, 0, 0, variance);
    return patternOf(new Cause(effect, nothing, unknown, misread), probability);
}

const held = patternOf(new Cause(nothing, nothing, nothing, misread));
const [camber, caster, sai] = [one(1, 0, 0, 0), one(0, 1, 0, 0), one(0, 0, 1, 0)];
/** 1 deg of camber and toe, 2 deg of caster and SAI. */
const unexplained = patternOf(new Cause(nothing, nothing, vector(1, 4, 4, 1), misread));

/** Patterns of table drift_components, by name; null where a front cannot show them. */
const patterns: Readonly<Record<string, (front: Front) => Pattern | null>> = {
    held: () => held,
    /** Along what the plate allows. */
    slip(front) {
        if (front.freedom === 'none') return null;
        const [first, second = nothing] = slipsOf(front);
        const cause = new Cause(first!, second, unknownOfSlip(front), nothing);
        return patternOf(cause, 1, front.freedom === 'slot' ? front.ends : null);
    },
    /** In any direction; in a plane it is a slip. */
    move(front) {
        if (front.freedom === 'plane') return null;
        const [first, second] = [moved(front, 1, 0), moved(front, 0, 1)];
        return patternOf(new Cause(first, second, unknownOfMove(front, null), nothing));
    },
    spindle: () => camber,
    /** A strut bent over the knuckle turns it about the ball joint: toe follows camber as in a slip while SAI stays. */
    strut: (front) => bend(front, front.chassis.toeRatio, front.chassis.toeRatioVariance, 0),
    toe: ({ toePart }) => one(-toePart, 0, 0, 1),
    /** An arm moves SAI against camber and drags the tie rod, 4.8 +- 0.6 deg of toe per deg of camber (common practice). */
    arm_toe_in: (front) => bend(front, 4.8, 0.36, -1, front.chassis.toeIn),
    arm_toe_out: (front) => bend(front, -4.8, 0.36, -1, front.chassis.toeOut),
    caster: () => caster,
    camber_misread: () => camber,
    caster_misread: () => caster,
    sai_misread: () => sai,
    /** And with it camber brought to equal toe. */
    toe_misread: ({ toeReadPart }) => one(toeReadPart, 0, 0, 1),
    unexplained: () => unexplained,
};

/** The pattern of that name. Throws where there is none. */
export function patternNamed(name: string): (front: Front) => Pattern | null {
    const found = patterns[name];
    if (found === undefined)
        throw new Error(`drift_components: src/stats/drift/patterns.ts has no pattern ${name}`);
    return found;
}

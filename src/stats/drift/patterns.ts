import { type Front, moved, slipsOf, unknownOfMove, unknownOfSlip } from './corner.js';
import { Cause, nothing, vector } from './gaussian.js';

/** How a cause shows on one front corner. */
export interface Pattern {
    cause: Cause;
    /** Probability that it shows in this way. */
    probability: number;
    /** Its sizes end where the slot does. */
    isInSlot: boolean;
}

const patternOf = (cause: Cause, probability = 1, isInSlot = false): Pattern => ({
    cause,
    probability,
    isInSlot,
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

const always = (pattern: Pattern) => () => pattern;

export const held = always(patternOf(new Cause(nothing, nothing, nothing, misread)));

/** The bearing slips along what the plate allows. */
export function slip(front: Front): Pattern | null {
    if (front.freedom === 'none') return null;
    const [first, second = nothing] = slipsOf(front);
    const cause = new Cause(first!, second, unknownOfSlip(front), nothing);
    return patternOf(cause, 1, front.freedom === 'slot');
}

/** The tower moves, in any direction; in a plane it is a slip. */
export function move(front: Front): Pattern | null {
    if (front.freedom === 'plane') return null;
    const [first, second] = [moved(front, 1, 0), moved(front, 0, 1)];
    return patternOf(new Cause(first, second, unknownOfMove(front, null), nothing));
}

export const [camber, caster, sai] = [one(1, 0, 0, 0), one(0, 1, 0, 0), one(0, 0, 1, 0)].map(always) as [
    () => Pattern,
    () => Pattern,
    () => Pattern,
];
export const spindle = camber;

/** A strut bent over the knuckle turns it about the ball joint: toe follows camber as in a slip while SAI stays. */
export const strut = (front: Front) => bend(front, front.chassis.toeRatio, front.chassis.toeRatioVariance, 0);

export const toe = ({ toePart }: Front) => one(-toePart, 0, 0, 1);

/** An arm moves SAI against camber and drags the tie rod, 4.8 +- 0.6 deg of toe per deg of camber (common practice). */
export const armToeIn = (front: Front) => bend(front, 4.8, 0.36, -1, front.chassis.toeIn);
export const armToeOut = (front: Front) => bend(front, -4.8, 0.36, -1, front.chassis.toeOut);

/** Toe read wrong, and with it camber brought to equal toe. */
export const toeMisread = ({ toeReadPart }: Front) => one(toeReadPart, 0, 0, 1);

/** Camber and half as much toe, in any proportion: knuckle or strut, and the tie rod. */
export function bendAndRod({ toePart }: Front): Pattern {
    const rod = vector(-toePart / 2, 0, 0, 0.5);
    return patternOf(new Cause(vector(1, 0, 0, 0), rod, nothing, misread));
}

/** The bearing by a millimetre and the tie rod by a tenth of a degree, in any proportion. */
export function slipAndRod(front: Front): Pattern | null {
    if (front.freedom === 'none') return null;
    const rod = vector(-front.toePart / 10, 0, 0, 0.1);
    return patternOf(new Cause(slipsOf(front)[0]!, rod, unknownOfSlip(front), nothing));
}

/** 1 deg of camber and toe, 2 deg of caster and SAI. */
export const unexplained = always(patternOf(new Cause(nothing, nothing, vector(1, 4, 4, 1), misread)));

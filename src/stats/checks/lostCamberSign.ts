import { groupedBy } from '../groupedBy.js';
import {
    type CarCheck,
    type Corner,
    levelsOf,
    meanOf,
    phases,
    type State,
    spreadsIn,
    VisitFit,
} from './corner.js';
import { logMixed, misfit, probabilities } from './densities.js';
import type { Finding } from './finding.js';

const AS_WRITTEN = 0.992;
const ALL_REVERSED = 0.004;
const ONE_REVERSED = 0.004;

type Spreads = ReturnType<typeof spreadsIn>;

/** Of its angles, camber. */
function camberOf(corner: Corner): Corner {
    const { slopes, deg, variances, others, otherVariances } = corner;
    return {
        ...corner,
        slopes: [slopes[0]!],
        deg: [deg[0]!, deg[3]!, deg[6]!],
        variances: [variances[0]!, variances[3]!, variances[6]!],
        others: [others[0]!],
        otherVariances: [otherVariances[0]!],
    };
}

/** Where no other visit tells, camber is held against the other side of the car as that is written. */
function withOthers(corner: Corner, opposite: Corner | undefined, { camberSide }: Spreads): Corner {
    if (!Number.isNaN(corner.others[0]!)) return corner;
    const other = opposite === undefined ? Number.NaN : meanOf(levelsOf(opposite, opposite.states), 0);
    return { ...corner, others: [other], otherVariances: [camberSide] };
}

/** Where camber was read at a known place. */
const isRead = ({ camberRead, place }: State) => !Number.isNaN(camberRead + place[0]);

function findingOf(whole: Corner, opposite: Corner | undefined, spreads: Spreads): Finding | null {
    const corner = withOthers(whole, opposite, spreads);
    const { states } = corner;
    const levels = levelsOf(corner, states);
    const fit = new VisitFit(corner, levels, spreads.mount);
    if (fit.sum(misfit, levels) < Math.log(AS_WRITTEN / (1 - AS_WRITTEN))) return null;
    const there = phases.filter((_, state) => !Number.isNaN(levels[state]!));
    const explanations = [
        { reversed: [false, false, false], prior: AS_WRITTEN },
        { reversed: [true, true, true], prior: ALL_REVERSED },
        ...(there.length > 1 ? there : []).map((phase) => ({
            reversed: phases.map((one) => one === phase),
            prior: ONE_REVERSED / there.length,
        })),
    ];
    const p = probabilities(
        explanations.map(({ reversed, prior }) => {
            const turned = levels.map((deg, state) =>
                reversed[state] ? deg - 2 * states[state]!.camberRead : deg,
            );
            return Math.log(prior) + fit.sum(logMixed, turned);
        }),
    );
    if (1 - p[0]! < 0.5) return null;
    const best = Math.max(...p.slice(1));
    const likely = explanations.filter((_, at) => at > 0 && p[at]! > 0.2 * best);
    const about = states.filter((state, at) => isRead(state) && likely.some(({ reversed }) => reversed[at]));
    const [first] = about;
    if (first === undefined) return null;
    const words = about.map(({ camberRead, phase }) => `${camberRead.toFixed(2)} (${phase})`);
    const sure = likely.length === 1;
    const others = Number.isNaN(whole.others[0]!) ? 'the other side' : 'the other visits';
    return {
        chassis: corner.chassis,
        vehicle: corner.vehicle,
        corner: corner.corner,
        visit: corner.visit,
        finding: `camber ${words.join(sure ? ', ' : ' or ')} would fit ${others} with the other sign${
            sure ? '' : ': which of them cannot be told'
        }`,
        p_mistake: 1 - p[0]!,
        source_file: first.file,
        source_line: first.line,
        angle: 'camber',
    };
}

const OPPOSITE: Readonly<Record<string, string>> = { FL: 'FR', FR: 'FL', RL: 'RR', RR: 'RL' };

/** Corners whose camber, or that of one phase, fits only with the other sign. */
export const lostCamberSign: CarCheck = ({ check_spreads }) => {
    const spreads = spreadsIn(check_spreads!);
    return function* (car) {
        for (const corners of groupedBy(car.map(camberOf), ({ visit }) => visit)) {
            for (const corner of corners) {
                const opposite = corners.find((one) => one.corner === OPPOSITE[corner.corner]);
                const found = findingOf(corner, opposite, spreads);
                if (found !== null) yield found;
            }
        }
    };
};

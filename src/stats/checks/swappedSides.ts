import { groupedBy } from '../groupedBy.js';
import {
    type CarCheck,
    type Corner,
    firstLine,
    isThere,
    levelsOf,
    phases,
    stateOf,
    VisitFit,
} from './corner.js';
import { logMixed, misfit, probabilities } from './densities.js';
import type { Finding } from './finding.js';

const AS_WRITTEN = 0.99;
const ALL_SWAPPED = 0.006;
const ONE_SWAPPED = 0.004;

/** A change between two kits says nothing of the sides. */
const otherKit = [Number.NaN, Number.NaN, Number.NaN];

/** What one side would read at offset 0, and how much more the other side read; where that is missing nothing is compared. */
function sideOf(own: Corner, other: Corner) {
    const more = other.deg.map((deg, i) => deg - own.deg[i]!);
    const levels = levelsOf(own, own.states).map(
        (deg, i) => deg + 0 * (more[i]! + other.states[stateOf[i]!]!.place[0]),
    );
    return { levels, more, fit: new VisitFit(own, levels, otherKit) };
}

function findingOf(left: Corner, right: Corner): Finding | null {
    const sides = [sideOf(left, right), sideOf(right, left)];
    const gain = sides.reduce((sum, { fit, levels }) => sum + fit.sum(misfit, levels), 0);
    if (gain < Math.log(AS_WRITTEN / (1 - AS_WRITTEN))) return null;
    const there = phases.filter((_, state) => isThere(sides[0]!.levels, state));
    const explanations = [
        { name: '', swapped: [false, false, false], prior: AS_WRITTEN },
        { name: 'all', swapped: [true, true, true], prior: ALL_SWAPPED },
        ...(there.length > 1 ? there : []).map((phase) => ({
            name: phase,
            swapped: phases.map((one) => one === phase),
            prior: ONE_SWAPPED / there.length,
        })),
    ];
    const p = probabilities(
        explanations.map(({ swapped, prior }) => {
            let weight = Math.log(prior);
            for (const { levels, more, fit } of sides) {
                const exchanged = levels.map((deg, i) => (swapped[stateOf[i]!] ? deg + more[i]! : deg));
                weight += fit.sum(logMixed, exchanged);
            }
            return weight;
        }),
    );
    const names = explanations.filter((_, at) => at > 0 && p[at]! > 0.1).map(({ name }) => name);
    if (1 - p[0]! < 0.5 || names.length === 0) return null;
    const [only] = names;
    const one = only === 'all' ? 'all phases' : `the ${only} rows`;
    const { file, line } = firstLine(
        [...left.states, ...right.states].filter(({ phase }) => there.includes(phase)),
    );
    return {
        chassis: left.chassis,
        vehicle: left.vehicle,
        corner: null,
        visit: left.visit,
        finding: `the angles of FL and FR fit their offsets and other visits when exchanged in ${
            names.length === 1 ? one : `some phase (${names.sort().join(', ')}: which one cannot be told)`
        }`,
        p_mistake: 1 - p[0]!,
        source_file: file,
        source_line: line,
    };
}

const isFront = ({ corner }: Corner) => corner === 'FL' || corner === 'FR';

/** Visits whose fronts, or one phase of them, were exchanged. */
export const swappedSides: CarCheck = () =>
    function* (car) {
        for (const [left, right] of groupedBy(car.filter(isFront), ({ visit }) => visit)) {
            const found = right === undefined ? null : findingOf(left!, right);
            if (found !== null) yield found;
        }
    };

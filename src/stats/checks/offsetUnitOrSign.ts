import { columnsOf, moveVariance, originsIn, type Place, residual } from './corner.js';
import { logMixed, probabilities } from './densities.js';
import type { CheckFunction, Finding, Records } from './finding.js';
import type { Origin } from './sources.js';

interface Explanation {
    /** What the offsets must come from. */
    needs?: 'measured' | 'marks';
    prior: number;
    words: string;
    /** What the offsets are multiplied with, outboard and rearward; NaN where that would change too little. */
    factors: (pitch_mm: number) => readonly [number, number];
    isUnit?: true;
    turnsCamber?: true;
}

const asIs = () => [1, 1] as const;
/** The pitch, or NaN where a mark is about a millimetre. */
const pitchOf = (pitch_mm: number) => (Math.abs(pitch_mm - 1) > 0.3 ? pitch_mm : Number.NaN);
const both = (factor: number) => [factor, factor] as const;

/** The record as written, and what it may be mistaken for. */
const explanations: readonly Explanation[] = [
    { prior: 0.97, words: '', factors: asIs },
    {
        prior: 0.004,
        words: 'the written offsets times 25.4: they look like inches',
        factors: () => both(25.4),
        isUnit: true,
    },
    {
        needs: 'measured',
        prior: 0.008,
        words: 'the written offsets times the mark pitch: they look like marks',
        factors: (pitch_mm) => both(pitchOf(pitch_mm)),
        isUnit: true,
    },
    {
        needs: 'marks',
        prior: 0.004,
        words: 'the written marks taken as millimetres',
        factors: (pitch_mm) => both(1 / pitchOf(pitch_mm)),
        isUnit: true,
    },
    { prior: 0.006, words: 'the written offsets with their signs reversed', factors: () => both(-1) },
    {
        needs: 'measured',
        prior: 0.002,
        words: 'offset outboard with its sign reversed',
        factors: () => [-1, 1],
    },
    {
        needs: 'measured',
        prior: 0.002,
        words: 'offset rearward with its sign reversed',
        factors: () => [1, -1],
    },
    { prior: 0.004, words: 'camber with its sign reversed', factors: asIs, turnsCamber: true },
];

const angles = ['camber', 'caster', 'toe', 'sai'] as const;

/** The moves in a batch. */
function* movesIn(records: Records) {
    const columns = columnsOf(records);
    const { length, values, number, numbers, slopes: slopesOf } = columns;
    const origin = originsIn(columns);
    const [source, pitch] = [values<string | null>('offset_source'), number('pitch_mm')];
    const moves = numbers<Place>([
        'move_out_mm',
        'move_aft_mm',
        'read_error_oo_mm2',
        'read_error_oa_mm2',
        'read_error_aa_mm2',
    ]);
    const each = (suffix: string) => numbers(angles.map((angle) => `${angle}_${suffix}`));
    const [changes, weights, sds] = [each('change_deg'), each('weight'), each('sd_deg')];
    const camberRead = number('camber_read_change_deg');
    const slopes = slopesOf(angles);
    for (let row = 0; row < length; row++) {
        const noise = sds(row);
        yield {
            origin: origin(row),
            source: source[row]!,
            pitch: pitch[row]!,
            move: moves(row),
            changes: changes(row),
            camberRead: camberRead[row]!,
            noise: weights(row).map((weight, at) => (2 * noise[at]! * noise[at]!) / (weight || Number.NaN)),
            slopes: slopes(row),
        };
    }
}
type Move = ReturnType<typeof movesIn> extends Generator<infer T> ? T : never;

const residuals = new Float64Array(angles.length);
const variances = new Float64Array(angles.length);

/** Log density of a move where `explanation` holds; NaN where it cannot. */
function logOf(move: Move, { needs, factors, turnsCamber }: Explanation): number {
    if (needs !== undefined && needs !== move.source) return Number.NaN;
    const { changes, noise, slopes, camberRead, pitch } = move;
    const [f, g] = factors(pitch);
    const [out, aft, oo, oa, aa] = move.move;
    const place: Place = [f * out, g * aft, oo * f * f, oa * f * g, aa * g * g];
    let isCompared = false;
    for (let at = 0; at < angles.length; at++) {
        const change = at === 0 && turnsCamber ? changes[at]! - 2 * camberRead : changes[at]!;
        residuals[at] = residual(change, slopes[at]!, place);
        variances[at] = noise[at]! + moveVariance(slopes[at]!, place);
        isCompared ||= !Number.isNaN(residuals[at]!);
    }
    return isCompared ? logMixed(residuals, variances) : Number.NaN;
}

/** Moves of a vehicle or of one of its visits, weighed together. */
class Moves {
    readonly #first: Origin;
    readonly #visit: string | null;
    readonly #logs = explanations.map(({ prior }) => Math.log(prior));
    readonly #counts = explanations.map(() => 0);
    #file: string;
    #line: number;

    constructor(first: Origin, visit: string | null) {
        this.#first = first;
        this.#visit = visit;
        [this.#file, this.#line] = [first.file, first.line];
    }

    add({ file, line }: Origin, logs: readonly number[]): void {
        for (let at = 0; at < logs.length; at++) {
            if (Number.isNaN(logs[at]!)) continue;
            this.#logs[at]! += logs[at]!;
            this.#counts[at]!++;
        }
        if (file < this.#file || (file === this.#file && line < this.#line))
            [this.#file, this.#line] = [file, line];
    }

    /** The explanation that is likelier than all others together; one that some of the moves cannot have is not comparable. */
    finding(isAsked: (one: Explanation) => boolean): Finding | null {
        const [count] = this.#counts;
        const p = probabilities(
            this.#logs.map((log, at) => (this.#counts[at] === count ? log : Number.NEGATIVE_INFINITY)),
        );
        const at = p.findIndex((one, place) => place > 0 && one >= 0.5);
        if (at < 0 || !isAsked(explanations[at]!)) return null;
        return {
            chassis: this.#first.chassis,
            vehicle: this.#first.vehicle,
            corner: null,
            visit: this.#visit,
            finding: `${count === 1 ? 'the move' : `the ${count} moves`} fit ${explanations[at]!.words}`,
            p_mistake: p[at]!,
            source_file: this.#file,
            source_line: this.#line,
        };
    }
}

/** Findings of a vehicle; units also of each visit where the vehicle as a whole shows nothing. */
function* findingsOf(vehicle: Moves, visits: Iterable<Moves>): Iterable<Finding> {
    const found = vehicle.finding(() => true);
    if (found !== null) return yield found;
    for (const visit of visits) {
        const ofVisit = visit.finding(({ isUnit }) => isUnit ?? false);
        if (ofVisit !== null) yield ofVisit;
    }
}

/** Moves of a vehicle that fit another unit or sign of the offsets; rows by chassis and vehicle. */
export const offsetUnitOrSign: CheckFunction = async function* (batches) {
    let last: Origin | undefined;
    let vehicle: Moves | undefined;
    let visits = new Map<string, Moves>();
    for await (const batch of batches) {
        for (const move of movesIn(batch)) {
            const logs = explanations.map((one) => logOf(move, one));
            if (Number.isNaN(logs[0])) continue;
            const { origin } = move;
            if (
                vehicle === undefined ||
                last?.vehicle !== origin.vehicle ||
                last.chassis !== origin.chassis
            ) {
                if (vehicle !== undefined) yield* findingsOf(vehicle, visits.values());
                vehicle = new Moves(origin, null);
                visits = new Map();
            }
            last = origin;
            const visit = visits.get(origin.visit) ?? new Moves(origin, origin.visit);
            visits.set(origin.visit, visit);
            vehicle.add(origin, logs);
            visit.add(origin, logs);
        }
    }
    if (vehicle !== undefined) yield* findingsOf(vehicle, visits.values());
};

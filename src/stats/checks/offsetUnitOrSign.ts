import type { Batch } from '../tables/batch.js';
import { columnsOf, moveVariance, originsIn, residual } from './corner.js';
import { logMixed, probabilities } from './densities.js';
import type { CheckFunction, Finding } from './finding.js';

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
function* movesIn(batch: Batch) {
    const columns = columnsOf(batch);
    const { value, number, numbers, slope } = columns;
    const origin = originsIn(columns);
    const [source, pitch] = [value<string | null>('offset_source'), number('pitch_mm')];
    const moves = numbers([
        'move_out_mm',
        'move_aft_mm',
        'read_error_oo_mm2',
        'read_error_oa_mm2',
        'read_error_aa_mm2',
    ]);
    const each = (suffix: string) => numbers(angles.map((angle) => `${angle}_${suffix}`));
    const [changes, weights, sds] = [each('change_deg'), each('weight'), each('sd_deg')];
    const camberRead = number('camber_read_change_deg');
    const slopes = angles.map(slope);
    for (let row = 0; row < batch.columns[0]!.length; row++) {
        const [out, aft, oo, oa, aa] = moves(row) as [number, number, number, number, number];
        yield {
            ...origin(row),
            source: source(row),
            pitch: pitch(row),
            move: { out, aft, oo, oa, aa },
            changes: changes(row),
            camberRead: camberRead(row),
            noise: weights(row).map(
                (weight, at) => (2 * sds(row)[at]! * sds(row)[at]!) / (weight || Number.NaN),
            ),
            slopes: slopes.map((read) => read(row)),
        };
    }
}
type Move = ReturnType<typeof movesIn> extends Generator<infer T> ? T : never;

/** Log density of a move where `explanation` holds; null where it cannot. */
function logOf(move: Move, { needs, factors, turnsCamber }: Explanation): number | null {
    if (needs !== undefined && needs !== move.source) return null;
    const [f, g] = factors(move.pitch);
    if (Number.isNaN(f)) return null;
    const { out, aft, oo, oa, aa } = move.move;
    const place = { out: f * out, aft: g * aft, oo: oo * f * f, oa: oa * f * g, aa: aa * g * g };
    const residuals = move.changes.map((change, at) =>
        residual(at === 0 && turnsCamber ? change - 2 * move.camberRead : change, move.slopes[at]!, place),
    );
    if (residuals.every(Number.isNaN)) return null;
    const variances = move.noise.map((noise, at) => noise + moveVariance(move.slopes[at]!, place));
    return logMixed(residuals, variances);
}

/** Moves of a vehicle or of one of its visits, weighed together. */
class Moves {
    readonly #first: Move;
    readonly #visit: string | null;
    readonly #sums = explanations.map(({ prior }) => ({ log: Math.log(prior), count: 0 }));
    #file: string;
    #line: number;

    constructor(first: Move, visit: string | null) {
        this.#first = first;
        this.#visit = visit;
        [this.#file, this.#line] = [first.file, first.line];
    }

    add({ file, line }: Move, logs: readonly (number | null)[]): void {
        for (const [at, log] of logs.entries()) {
            if (log === null) continue;
            this.#sums[at]!.log += log;
            this.#sums[at]!.count++;
        }
        if (file < this.#file || (file === this.#file && line < this.#line))
            [this.#file, this.#line] = [file, line];
    }

    /** The explanation that is likelier than all others together; one that some of the moves cannot have is not comparable. */
    finding(isAsked: (one: Explanation) => boolean): Finding | null {
        const { count } = this.#sums[0]!;
        const p = probabilities(
            this.#sums.map((sum) => (sum.count === count ? sum.log : Number.NEGATIVE_INFINITY)),
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
    let last: Move | undefined;
    let vehicle: Moves | undefined;
    let visits = new Map<string, Moves>();
    for await (const batch of batches) {
        for (const move of movesIn(batch)) {
            const logs = explanations.map((one) => logOf(move, one));
            if (logs[0] === null) continue;
            if (vehicle === undefined || last?.vehicle !== move.vehicle || last.chassis !== move.chassis) {
                if (vehicle !== undefined) yield* findingsOf(vehicle, visits.values());
                vehicle = new Moves(move, null);
                visits = new Map();
            }
            last = move;
            const visit = visits.get(move.visit) ?? new Moves(move, move.visit);
            visits.set(move.visit, visit);
            vehicle.add(move, logs);
            visit.add(move, logs);
        }
    }
    if (vehicle !== undefined) yield* findingsOf(vehicle, visits.values());
};

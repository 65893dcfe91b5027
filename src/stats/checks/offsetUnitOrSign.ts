import { groupedBy } from '../groupedBy.js';
import { columnsOf, moveVariance, originsIn, type Place, residual } from './corner.js';
import { logSlipped, type Misfit, probabilities } from './densities.js';
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
    const corner = values<string>('corner');
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
            corner: corner[row]!,
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

/** Log density of the moves of a corner in one visit where `explanation` holds; NaN where it cannot. */
function logOf(moves: readonly Move[], { needs, factors, turnsCamber }: Explanation): number {
    const compared: Misfit[] = [];
    for (const { source, changes, noise, slopes, camberRead, pitch, move } of moves) {
        if (needs !== undefined && needs !== source) return Number.NaN;
        const [f, g] = factors(pitch);
        const [out, aft, oo, oa, aa] = move;
        const place: Place = [f * out, g * aft, oo * f * f, oa * f * g, aa * g * g];
        const length = Math.hypot(out, aft);
        for (let at = 0; at < angles.length; at++) {
            const change = at === 0 && turnsCamber ? changes[at]! - 2 * camberRead : changes[at]!;
            const slope = slopes[at]!;
            const variance = noise[at]! + moveVariance(slope, place);
            const left = residual(change, slope, place);
            const along = (slope[0] * out + slope[1] * aft) / length;
            if (!Number.isNaN(left + variance)) compared.push([left, variance, along]);
        }
    }
    return compared.length > 0 ? logSlipped(compared) : Number.NaN;
}

/** Moves of a vehicle or of one of its visits, weighed together. */
class Weighed {
    readonly #visit: string | null;
    readonly #logs = explanations.map(({ prior }) => Math.log(prior));
    #count = 0;
    #first: Origin | undefined;

    constructor(visit: string | null) {
        this.#visit = visit;
    }

    /** Adds the moves of a corner in one visit. An explanation that some of them cannot have falls away. */
    add(moves: readonly Move[], logs: readonly number[]): void {
        for (let at = 0; at < logs.length; at++)
            this.#logs[at]! += Number.isNaN(logs[at]!) ? Number.NEGATIVE_INFINITY : logs[at]!;
        this.#count += moves.length;
        for (const { origin } of moves) {
            const first = this.#first;
            if (
                first === undefined ||
                origin.file < first.file ||
                (origin.file === first.file && origin.line < first.line)
            )
                this.#first = origin;
        }
    }

    /** The explanation that is likelier than all others together. */
    finding(isAsked: (one: Explanation) => boolean): Finding | null {
        const first = this.#first;
        if (first === undefined) return null;
        const p = probabilities(this.#logs);
        const at = p.findIndex((one, place) => place > 0 && one >= 0.5);
        if (at < 0 || !isAsked(explanations[at]!)) return null;
        return {
            chassis: first.chassis,
            vehicle: first.vehicle,
            corner: null,
            visit: this.#visit,
            finding: `${this.#count === 1 ? 'the move' : `the ${this.#count} moves`} fit ${explanations[at]!.words}`,
            p_mistake: p[at]!,
            source_file: first.file,
            source_line: first.line,
        };
    }
}

/** Findings of a vehicle; units also of each visit where the vehicle as a whole shows nothing. */
function* findingsOf(moves: readonly Move[]): Iterable<Finding> {
    const whole = new Weighed(null);
    const visits = new Map<string, Weighed>();
    for (const ofCorner of groupedBy(moves, ({ origin, corner }) => `${corner} ${origin.visit}`)) {
        const logs = explanations.map((one) => logOf(ofCorner, one));
        if (Number.isNaN(logs[0])) continue;
        const { visit } = ofCorner[0]!.origin;
        if (!visits.has(visit)) visits.set(visit, new Weighed(visit));
        whole.add(ofCorner, logs);
        visits.get(visit)!.add(ofCorner, logs);
    }
    const found = whole.finding(() => true);
    if (found !== null) return yield found;
    for (const visit of visits.values()) {
        const ofVisit = visit.finding(({ isUnit }) => isUnit ?? false);
        if (ofVisit !== null) yield ofVisit;
    }
}

/** Moves of a vehicle that fit another unit or sign of the offsets; rows by chassis and vehicle. */
export const offsetUnitOrSign: CheckFunction = async function* (batches) {
    let moves: Move[] = [];
    for await (const batch of batches) {
        for (const move of movesIn(batch)) {
            const last = moves[0]?.origin;
            if (
                last !== undefined &&
                (last.vehicle !== move.origin.vehicle || last.chassis !== move.origin.chassis)
            ) {
                yield* findingsOf(moves);
                moves = [];
            }
            moves.push(move);
        }
    }
    yield* findingsOf(moves);
};

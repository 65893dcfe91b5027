import type { Row, Value } from '../tables/batch.js';
import { places, type Step } from './chain.js';

/** The angles by their places, see {@link places}. */
export const angles = ['camber_deg', 'caster_deg', 'sai_deg', 'toe_deg'] as const;

interface Noise {
    readVariance: number;
    /** The same, not widened for what is not known of it. */
    oneVariance: number;
    sharedVariance: number;
    setUpVariance: number;
    /** Visits tell of set-ups, and so of readings and set-ups together. */
    isTold: boolean;
    bias: number;
    biasVariance: number;
}

/** What is known of readings: by reader, as a place among all of them, and angle, and of pairs of readers. */
export class Readers {
    readonly #places = new Map<Value, number>();
    readonly #noise: Noise[][] = [];
    /** By angle, and pair of readers as {@link #pairOf} has it. */
    readonly #steps = angles.map(() => new Map<number, { step: number; variance: number }>());
    readonly #sessionVariances: readonly { variance: number; isTold: boolean }[];

    constructor(whole: Readonly<Record<string, readonly Row[]>>) {
        for (const row of whole.reader_noise!) {
            const place = this.#places.get(row.reader!) ?? this.#noise.push([]) - 1;
            this.#places.set(row.reader!, place);
            this.#noise[place]![angles.indexOf(row.response as (typeof angles)[number])] = {
                readVariance: row.read_var_deg2 as number,
                oneVariance: row.one_var_deg2 as number,
                sharedVariance: row.shared_var_deg2 as number,
                setUpVariance: row.set_up_var_deg2 as number,
                isTold: row.set_up_source === 'visits',
                bias: row.bias_deg as number,
                biasVariance: row.bias_var_deg2 as number,
            };
        }
        for (const { reader_1, reader_2, response, step_deg, step_var_deg2 } of whole.reader_biases!) {
            if (reader_1 === null) continue;
            const variance = step_var_deg2 as number;
            const own = this.#steps[angles.indexOf(response as (typeof angles)[number])]!;
            const [one, other] = [this.placeOf(reader_1!), this.placeOf(reader_2!)];
            own.set(this.#pairOf(one, other), { step: step_deg as number, variance });
            own.set(this.#pairOf(other, one), { step: -(step_deg as number), variance });
        }
        this.#sessionVariances = angles.map((angle) => {
            const row = whole.session_vars!.find(({ response }) => response === angle)!;
            return { variance: row.session_var_deg2 as number, isTold: (row.pair_count as number) > 0 };
        });
    }

    /** Place of the reader of that number in table readers. */
    placeOf(reader: Value): number {
        return this.#places.get(reader)!;
    }

    #pairOf(from: number, to: number): number {
        return from * this.#noise.length + to;
    }

    /** Variance of the mean of `count` readings, with that of a set-up: of a session visit that read before and after, as sessions tell. */
    variance(reader: number, angle: number, count: number, isPair: boolean): number {
        const noise = this.#noise[reader]![angle]!;
        const { sharedVariance, setUpVariance, isTold } = noise;
        const session = this.#sessionVariances[angle]!;
        const one = (isPair ? session.isTold : isTold) ? noise.oneVariance : noise.readVariance;
        const mean = sharedVariance + (one - sharedVariance) / count;
        return mean + (isPair ? session.variance / 2 : setUpVariance);
    }

    /** See {@link Step}; camber at equal toe has the step of camber: toe's part is a tenth of toe's. */
    readonly step: Step = (from, to, place) => {
        const angle = place === places.equalToe ? places.camber : place;
        const exact = this.#steps[angle]!.get(this.#pairOf(from, to));
        if (exact !== undefined) return exact;
        const [before, after] = [this.#noise[from]![angle]!, this.#noise[to]![angle]!];
        return { step: after.bias - before.bias, variance: before.biasVariance + after.biasVariance };
    };
}

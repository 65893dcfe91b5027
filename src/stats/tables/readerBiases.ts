import { withinWalk } from '../measurement/walks.js';
import { effectBlocks } from '../predictedEffects.js';
import { type Row, rowsOf, type TableFunction } from './batch.js';

/** How the bias of a gauge moves, by so many weeks about a middle. */
interface Walk {
    /** deg a week, and its variance. */
    rate: number;
    variance: number;
    weeks: number;
    middle: number;
    /** Mean square of what is walked in all, deg2. */
    square: number;
}

interface Bias {
    /** Levels that add up to it, by their place among all of the angle. */
    levels: number[];
    /** Variance of what no level stands for, deg2. */
    rest: number;
}

/** What gauges and people add, by angle: level by level, in the order of gauge_effects, then those that never met another. */
interface Levels {
    /** Prior variance of each, deg2. */
    variances: number[];
    confounded: boolean;
    gaugeVariance: number;
    personVariance: number;
    /** The levels of a gauge: one, or where gauges and people are confounded those of its pairs with people. */
    ofGauge: Map<unknown, number[]>;
    /** Gauges that may walk. */
    walks: ReadonlyMap<unknown, Walk>;
    of(gauge: unknown, technician: unknown): number[];
}

/** What is known of the biases of one angle. */
interface Effects {
    effects: Float64Array;
    /** Covariance of the errors of prediction. */
    covariance(i: number, j: number): number;
    told(i: number): boolean;
}

type Tables = Readonly<Record<string, readonly Row[]>>;

const ofResponse = (tables: Tables, name: string, response: string) =>
    tables[name]!.filter((row) => row.response === response);

/** The gauges of one angle that may walk. */
function walksOf(tables: Tables, response: string): Map<unknown, Walk> {
    return new Map(
        ofResponse(tables, 'set_ups', response).flatMap((row) => {
            const rate = row.bias_rate_deg_per_week as number;
            const variance = row.bias_rate_var_deg2 as number;
            const [weeks, middle] = [row.walk_weeks, row.walk_middle_weeks] as [number, number];
            const square = (rate * rate + variance) * weeks * weeks;
            return square > 0 ? [[row.gauge, { rate, variance, weeks, middle, square }] as const] : [];
        }),
    );
}

const key = (kind: unknown, gauge: unknown, technician: unknown) => JSON.stringify([kind, gauge, technician]);

function levelsOf(tables: Tables, response: string, prior: Row): Levels {
    const walks = walksOf(tables, response);
    const [fitted] = ofResponse(tables, 'gauge_variances', response);
    const priorVariance = (prior.bias_sd_deg as number) * (prior.bias_sd_deg as number);
    const gaugeVariance = (fitted?.used_gauge_var as number | undefined) ?? priorVariance;
    const personVariance = (fitted?.used_technician_var as number | undefined) ?? priorVariance / 4;
    const factors = [...ofResponse(tables, 'gauge_effects', response)].sort(
        (a, b) => (a.level as number) - (b.level as number),
    );
    const confounded = tables.gauge_effects!.some(({ kind }) => kind === 'pair');
    const places = new Map<string, number>();
    const variances: number[] = [];
    const ofGauge = new Map<unknown, number[]>();
    const add = (kind: unknown, gauge: unknown, technician: unknown) => {
        const name = key(kind, gauge, technician);
        if (places.has(name)) return;
        // Set right at one end of its walk, it is half of it off in the middle.
        const ofGaugeThen = gaugeVariance + (walks.get(gauge)?.square ?? 0) / 4;
        const level = variances.push(kind === 'technician' ? personVariance : ofGaugeThen) - 1;
        places.set(name, level);
        if (kind !== 'technician') ofGauge.set(gauge, [...(ofGauge.get(gauge) ?? []), level]);
    };
    for (const { kind, gauge, technician } of factors) add(kind, gauge, technician);
    const people = (technician: unknown) => technician !== null && !confounded;
    const sideOf = (gauge: unknown, technician: unknown): [string, unknown, unknown] =>
        confounded ? ['pair', gauge, technician] : ['gauge', gauge, null];
    for (const { gauge, technician } of tables.readers!) {
        add(...sideOf(gauge, technician));
        if (people(technician)) add('technician', null, technician);
    }
    return {
        variances,
        confounded,
        gaugeVariance,
        personVariance,
        ofGauge,
        walks,
        of: (gauge, technician) =>
            [
                places.get(key(...sideOf(gauge, technician))),
                people(technician) ? places.get(key('technician', null, technician)) : undefined,
            ].filter((level) => level !== undefined),
    };
}

/** Middle of the days on which a reference was read, weeks from 1970 on. */
const weekOf = ({ first_on, last_on }: Row) =>
    (Date.parse(first_on as string) + Date.parse(last_on as string)) / 2 / 604_800_000;

/** What readings of references tell: the sum of `shares` of levels is `error`, with this variance. */
function toldByReferences(tables: Tables, response: string, levels: Levels) {
    return ofResponse(tables, 'gauge_references', response).flatMap((row) => {
        const side = levels.ofGauge.get(row.gauge);
        if (side === undefined || row.error_var_deg2 === null) return [];
        const own = row.technician === null ? [] : levels.of(row.gauge, row.technician);
        // Of several people, and of one whom no reading names, the mean bias is not known.
        const isOwn = own.length === (levels.confounded ? 1 : 2);
        const people = levels.confounded ? 1 : (row.technician_count as number);
        const rest = isOwn || people === 0 ? 0 : levels.personVariance / people;
        const walk = levels.walks.get(row.gauge);
        const since = walk === undefined ? 0 : withinWalk(weekOf(row) - walk.middle, walk.weeks);
        return [
            {
                among: isOwn ? own : side,
                share: isOwn ? 1 : 1 / side.length,
                error: (row.error_deg as number) - (walk?.rate ?? 0) * since,
                variance: (row.error_var_deg2 as number) + rest + (walk?.variance ?? 0) * since * since,
            },
        ];
    });
}

function effectsOf(tables: Tables, response: string, levels: Levels): Effects {
    const [fitted] = ofResponse(tables, 'gauge_variances', response);
    // Where none were compared, references alone tell, whose weights are over it.
    const errorVariance = (fitted?.used_error_var as number | undefined) ?? 1;
    const count = levels.variances.length;
    const equations = {
        first: [...((fitted?.first_levels as number[] | undefined) ?? [])],
        second: [...((fitted?.second_levels as number[] | undefined) ?? [])],
        xx: [...((fitted?.xx as number[] | undefined) ?? [])],
        xy: Array.from({ length: count }, (_, i) => (fitted?.xy as number[] | undefined)?.[i] ?? 0),
    };
    for (const { among, share, error, variance } of toldByReferences(tables, response, levels)) {
        const weight = errorVariance / variance;
        for (const i of among) {
            equations.xy[i]! += weight * share * error;
            for (const j of among.filter((other) => other >= i)) {
                equations.first.push(i + 1);
                equations.second.push(j + 1);
                equations.xx.push(weight * share * share);
            }
        }
    }
    const effects = new Float64Array(count);
    const places = new Map<number, { block: number; at: number }>();
    const blocks = effectBlocks(equations, levels.variances, errorVariance);
    for (const [b, { block, effects: found }] of blocks.entries()) {
        for (const [at, level] of block.levels.entries()) {
            effects[level] = found[at]!;
            places.set(level, { block: b, at });
        }
    }
    const told = new Set<number>();
    for (const [k, xx] of equations.xx.entries()) {
        if (equations.first[k] === equations.second[k] && xx > 1e-9) told.add(equations.first[k]! - 1);
    }
    return {
        effects,
        covariance(i, j) {
            const [one, other] = [places.get(i)!, places.get(j)!];
            if (one.block !== other.block) return 0;
            const { block, covariance } = blocks[one.block]!;
            return covariance[one.at * block.levels.length + other.at]!;
        },
        told: (i) => told.has(i),
    };
}

/** Biases of the readers against the truth and against each other. */
export const readerBiases: TableFunction = async function* (batches, tables) {
    const wanted: Row[] = [];
    for await (const row of rowsOf(batches)) wanted.push(row);
    const readers = new Map(tables.readers!.map((row) => [row.reader as number, row]));
    for (const prior of tables.angle_priors!) {
        const response = prior.response as string;
        const levels = levelsOf(tables, response, prior);
        const known = effectsOf(tables, response, levels);
        const biasOf = (reader: number): Bias => {
            const who = readers.get(reader);
            if (who === undefined) return { levels: [], rest: levels.gaugeVariance };
            const { gauge, technician } = who;
            return {
                levels: levels.of(gauge, technician),
                rest: (levels.walks.get(gauge)?.square ?? 0) / 12,
            };
        };
        const product = (one: readonly number[], other: readonly number[]) =>
            one.reduce((sum, i) => other.reduce((all, j) => all + known.covariance(i, j), sum), 0);
        const effectOf = (bias: Bias) => bias.levels.reduce((sum, level) => sum + known.effects[level]!, 0);
        const isTold = (bias: Bias) => bias.levels[0] !== undefined && known.told(bias.levels[0]);
        for (const { reader_1, reader_2 } of wanted) {
            const second = biasOf(reader_2 as number);
            const first = reader_1 === null ? null : biasOf(reader_1 as number);
            let variance = product(second.levels, second.levels);
            if (first === null) variance += second.rest;
            else {
                variance += product(first.levels, first.levels) - 2 * product(first.levels, second.levels);
                const who = readers.get(reader_1 as number);
                // What one gauge walks between two readings of one day cancels.
                const sameGauge = who !== undefined && who.gauge === readers.get(reader_2 as number)?.gauge;
                if (!sameGauge) variance += first.rest + second.rest;
            }
            yield {
                response,
                reader_1: reader_1!,
                reader_2: reader_2!,
                step_deg: effectOf(second) - (first === null ? 0 : effectOf(first)),
                step_var_deg2: Math.max(variance, 0),
                compared: isTold(second) && (first === null || isTold(first)),
            };
        }
    }
};

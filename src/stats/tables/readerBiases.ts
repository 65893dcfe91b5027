import { effectBlocks } from '../predictedEffects.js';
import { type Row, rowsOf, type TableFunction } from './batch.js';

interface Bias {
    /** Levels that add up to it, by their place among all of the angle. */
    levels: number[];
    /** Variance of what no level stands for, deg2. */
    gaugeRest: number;
    personRest: number;
    /** Whether another gauge, or pair of gauge and person, read what it read. */
    compared: boolean;
}

/** What is known of the biases of one angle. */
interface Effects {
    effects: Float64Array;
    /** By block: covariance of the errors of prediction. */
    covariance(i: number, j: number): number;
    compared(i: number): boolean;
}

type Tables = Readonly<Record<string, readonly Row[]>>;

const ofResponse = (tables: Tables, name: string, response: string) =>
    tables[name]!.filter((row) => row.response === response);

function effectsOf(tables: Tables, response: string, variances: readonly number[]): Effects {
    const [moments] = ofResponse(tables, 'gauge_moments', response);
    const [fitted] = ofResponse(tables, 'gauge_variances', response);
    if (moments === undefined || fitted === undefined) {
        return {
            effects: new Float64Array(variances.length),
            covariance: (i, j) => (i === j ? variances[i]! : 0),
            compared: () => false,
        };
    }
    const typical = ofResponse(tables, 'reading_noise', response).find(({ gauge }) => gauge === null)!;
    const df = fitted.df as number;
    const errorVariance =
        (df * (fitted.error_var as number) + 4 * (typical.sd_deg as number) * (typical.sd_deg as number)) /
        (df + 4);
    const equations = {
        first: moments.first_levels as number[],
        second: moments.second_levels as number[],
        xx: moments.xx as number[],
        xy: moments.xy as number[],
    };
    const effects = new Float64Array(variances.length);
    const places = new Map<number, { block: number; at: number }>();
    const blocks = effectBlocks(equations, variances, errorVariance);
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
        compared: (i) => told.has(i),
    };
}

/** Variance that a gauge which walks adds to its bias, deg2. */
function walkVariance(row: Row | undefined): number {
    if (row === undefined || row.walk_deg_per_week === null) return 0;
    const [rate, error, weeks] = [
        row.walk_deg_per_week,
        row.walk_std_error_deg_per_week,
        row.walk_weeks,
    ] as number[];
    return Math.abs(rate!) > 3 * error! ? (rate! * weeks! * rate! * weeks!) / 12 : 0;
}

/** Biases of the readers against the truth and against each other. */
export const readerBiases: TableFunction = async function* (batches, tables) {
    const wanted: Row[] = [];
    for await (const row of rowsOf(batches)) wanted.push(row);
    const readers = new Map(tables.readers!.map((row) => [row.reader as number, row]));
    for (const prior of tables.gauge_priors!) {
        const response = prior.response as string;
        const [fitted] = ofResponse(tables, 'gauge_variances', response);
        const priorVariance = (prior.bias_sd_deg as number) * (prior.bias_sd_deg as number);
        const gaugeVariance = (fitted?.used_gauge_var as number | undefined) ?? priorVariance;
        const personVariance = (fitted?.used_technician_var as number | undefined) ?? priorVariance / 4;
        const levels = [...ofResponse(tables, 'gauge_factors', response)].sort(
            (a, b) => (a.level as number) - (b.level as number),
        );
        const confounded = levels.some(({ kind }) => kind === 'pair');
        const key = (kind: string, gauge: unknown, technician: unknown) =>
            JSON.stringify([kind, gauge, technician]);
        const places = new Map(
            levels.map(({ kind, gauge, technician }, i) => [key(kind as string, gauge, technician), i]),
        );
        const known = effectsOf(
            tables,
            response,
            levels.map(({ kind }) => (kind === 'technician' ? personVariance : gaugeVariance)),
        );
        const walks = new Map(
            ofResponse(tables, 'set_ups', response).map((row) => [row.gauge, walkVariance(row)]),
        );
        const biasOf = (reader: number): Bias => {
            const who = readers.get(reader);
            if (who === undefined)
                return { levels: [], gaugeRest: gaugeVariance, personRest: 0, compared: false };
            const { gauge, technician } = who;
            const side = confounded
                ? places.get(key('pair', gauge, technician))
                : places.get(key('gauge', gauge, null));
            const person =
                confounded || technician === null
                    ? undefined
                    : places.get(key('technician', null, technician));
            const found = [side, person].filter((level) => level !== undefined);
            return {
                levels: found,
                gaugeRest:
                    (side === undefined ? gaugeVariance : 0) + (gauge === null ? 0 : (walks.get(gauge) ?? 0)),
                personRest: person === undefined && technician !== null && !confounded ? personVariance : 0,
                compared: side !== undefined && known.compared(side),
            };
        };
        const product = (one: readonly number[], other: readonly number[]) =>
            one.reduce((sum, i) => other.reduce((all, j) => all + known.covariance(i, j), sum), 0);
        for (const { reader_1, reader_2 } of wanted) {
            const second = biasOf(reader_2 as number);
            const effect = second.levels.reduce((sum, level) => sum + known.effects[level]!, 0);
            const variance = product(second.levels, second.levels) + second.gaugeRest + second.personRest;
            if (reader_1 === null) {
                yield {
                    response,
                    reader_1,
                    reader_2: reader_2!,
                    step_deg: effect,
                    step_var_deg2: variance,
                    compared: second.compared,
                };
                continue;
            }
            const first = biasOf(reader_1 as number);
            // What one gauge, or one person, adds to both readings cancels.
            const [who, other] = [readers.get(reader_1 as number), readers.get(reader_2 as number)];
            const sameGauge = !confounded && who?.gauge === other?.gauge;
            const rest =
                (sameGauge ? 0 : first.gaugeRest + second.gaugeRest) +
                (who?.technician === other?.technician ? 0 : first.personRest + second.personRest);
            yield {
                response,
                reader_1: reader_1!,
                reader_2: reader_2!,
                step_deg: effect - first.levels.reduce((sum, level) => sum + known.effects[level]!, 0),
                step_var_deg2: Math.max(
                    product(second.levels, second.levels) +
                        product(first.levels, first.levels) -
                        2 * product(first.levels, second.levels) +
                        rest,
                    0,
                ),
                compared: first.compared && second.compared,
            };
        }
    }
};

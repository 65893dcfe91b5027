import type { Batch } from '../tables/batch.js';
import { columnsOf, moveVariance, originsIn, type Slope } from './corner.js';
import { logMixed, probabilities } from './densities.js';
import type { CheckFunction } from './finding.js';
import { Sources } from './sources.js';

/** A wheel is set within this of its aim (deg, from memory). */
const SET_SD = 0.05;
const SET_VARIANCE = SET_SD * SET_SD;

/** Both fronts in one phase. */
function* statesIn(batch: Batch) {
    const columns = columnsOf(batch);
    const { value, number, numbers, slope } = columns;
    const origin = originsIn(columns);
    const [technician, gauge] = [value<string | null>('technician'), value<string | null>('gauge')];
    const [phase, kit] = [value<string>('phase'), value<string | null>('kit')];
    const [toeReset, toeSlope] = [value<boolean | null>('toe_reset'), slope('toe')];
    const toes = numbers(['left_toe_deg', 'right_toe_deg']);
    const places = numbers(['left_out_mm', 'left_aft_mm', 'right_out_mm', 'right_aft_mm']);
    const [aim, sd, equalShare] = [number('aim_deg'), number('toe_sd_deg'), number('equal_share')];
    for (let row = 0; row < batch.columns[0]!.length; row++)
        yield {
            ...origin(row),
            technician: technician(row),
            gauge: gauge(row),
            kit: kit(row),
            rodsKept: toeReset(row) === false,
            slope: toeSlope(row),
            toes: toes(row),
            places: places(row),
            aim: phase(row) === 'after' ? aim(row) : Number.NaN,
            noise: 2 * sd(row) * sd(row),
            equalShare: equalShare(row),
        };
}
type State = ReturnType<typeof statesIn> extends Generator<infer T> ? T : never;

/** What is summed over the states of a source; logs are of likelihoods. */
const blank = () => ({
    count: 0,
    equalCount: 0,
    aimCount: 0,
    changeCount: 0,
    toe: 0,
    aim: 0,
    asWheels: 0,
    aimOnce: 0,
    aimTwice: 0,
    wheelsRatio: 0,
    totalRatio: 0,
});
type Sums = ReturnType<typeof blank>;

const variance = (slope: Slope, out: number, aft: number) =>
    moveVariance(slope, { out, aft, oo: 0, oa: 0, aa: 0 });
const log = (x: number, of: number) => logMixed([x], [of]);

/** How much likelier the changes of both sides since `earlier` are as those of doubled wheels, and of a total; null where nothing moved. */
function ratiosOf({ slope, toes, places, noise, kit, rodsKept }: State, earlier: State) {
    const [out, aft, rightOut, rightAft] = places.map((mm, i) => mm - earlier.places[i]!) as [
        number,
        number,
        number,
        number,
    ];
    const moved = Math.abs(out) + Math.abs(aft) + Math.abs(rightOut) + Math.abs(rightAft) > 1e-6;
    if (!rodsKept || earlier.kit !== kit || !moved) return null;
    const sides = [
        { change: toes[0]! - earlier.toes[0]!, out, aft },
        { change: toes[1]! - earlier.toes[1]!, out: rightOut, aft: rightAft },
    ].map((side) => ({
        change: side.change,
        expected: slope.out * side.out + slope.aft * side.aft,
        variance: noise + variance(slope, side.out, side.aft),
    }));
    const [left, right] = sides as [(typeof sides)[0], (typeof sides)[0]];
    const change = left.change + right.change;
    const expected = left.expected + right.expected;
    const both = 2 * noise + variance(slope, out + rightOut, aft + rightAft);
    return {
        wheels: sides.reduce(
            (sum, side) =>
                sum +
                log(side.change - 2 * side.expected, 4 * side.variance) -
                log(side.change - side.expected, side.variance),
            0,
        ),
        total: log(change / 2 - expected, both) - log((change - expected) / 2, both / 4),
    };
}

function add(sums: Sums, state: State, ratios: ReturnType<typeof ratiosOf>): void {
    const [left, right] = state.toes as [number, number];
    const isEqual = Math.abs(left - right) < 0.002;
    const toe = (left + right) / 2;
    sums.count++;
    sums.equalCount += Number(isEqual);
    sums.asWheels += Math.log(isEqual ? state.equalShare : 1 - state.equalShare);
    if (!Number.isNaN(state.aim)) {
        sums.aimCount++;
        sums.toe += toe;
        sums.aim += state.aim;
        sums.aimOnce += log(toe - state.aim, SET_VARIANCE);
        sums.aimTwice += log(toe - 2 * state.aim, 4 * SET_VARIANCE);
    }
    if (ratios === null) return;
    sums.changeCount++;
    sums.wheelsRatio += ratios.wheels;
    sums.totalRatio += ratios.total;
}

/** That totals or doubled numbers were written as toe of each wheel. */
function pOf(sums: Sums, share: number): number {
    const { equalCount, count, asWheels, aimOnce, aimTwice, wheelsRatio, totalRatio } = sums;
    const asTotal = equalCount * Math.log(0.97) + (count - equalCount) * Math.log(0.03);
    const p = probabilities([
        Math.log(0.01 * share) + asTotal + aimTwice + totalRatio,
        Math.log(0.005 * share) + asWheels + aimTwice + wheelsRatio,
        Math.log(0.04) + asTotal + aimOnce,
        Math.log(0.96 - 0.015 * share) + asWheels + aimOnce,
    ]);
    return p[0]! + p[1]!;
}

const counted = (count: number, what: string) =>
    count === 0 ? [] : [count === 1 ? `the ${what}` : `${count} ${what}s`];

/** Toe that is about twice too large, by file, technician, gauge and visit. */
export const toeTotalAsWheel: CheckFunction = async function* (batches) {
    const sources = new Sources(blank);
    let earlier: State | undefined;
    for await (const batch of batches) {
        for (const state of statesIn(batch)) {
            const sameVisit = earlier?.vehicle === state.vehicle && earlier.visit === state.visit;
            const ratios = sameVisit ? ratiosOf(state, earlier!) : null;
            for (const { sums } of sources.of(state)) add(sums, state, ratios);
            earlier = state;
        }
    }
    for (const { source, p } of sources.likely(({ kind, sums }) => pOf(sums, kind === 'visit' ? 0.5 : 1))) {
        const { count, equalCount, aimCount, changeCount, toe, aim } = source.sums;
        const whose = source.kind === 'visit' ? 'this visit' : `${source.kind} ${source.name}`;
        const judges = [...counted(aimCount, 'target'), ...counted(changeCount, 'change')].join(' and ');
        yield {
            ...source.place,
            finding: `toe of ${whose} is about twice what ${judges} would make it, and equal left and right in ${equalCount} of ${count} states`,
            p_mistake: p,
            angle: 'toe',
            read_deg: aimCount === 0 ? null : toe / aimCount,
            expected_deg: aimCount === 0 ? null : aim / aimCount,
            limit_deg: 1.96 * SET_SD,
            expected_of: 'the target',
        };
    }
};

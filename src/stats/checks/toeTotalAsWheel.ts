import { columnsOf, moveBetween, moveVariance, originsIn, type Place, residual } from './corner.js';
import { logMixed, probabilities } from './densities.js';
import type { CheckFunction, Records } from './finding.js';
import { Sources } from './sources.js';

/** A wheel is set within this of its aim (deg, from memory). */
const SET_SD = 0.05;
const SET_VARIANCE = SET_SD * SET_SD;

/** Both fronts in one phase. */
function* statesIn(records: Records) {
    const columns = columnsOf(records);
    const { length, values, number, numbers, slopes } = columns;
    const origin = originsIn(columns);
    const [phase, kit] = [values<string>('phase'), values<string | null>('kit')];
    const [toeReset, toeSlope] = [values<boolean | null>('toe_reset'), slopes(['toe'])];
    const toes = numbers(['left_toe_deg', 'right_toe_deg']);
    const placeOf = (side: string) =>
        numbers<Place>(
            ['out_mm', 'aft_mm', 'error_oo_mm2', 'error_oa_mm2', 'error_aa_mm2'].map(
                (name) => `${side}_${name}`,
            ),
        );
    const [leftPlace, rightPlace] = [placeOf('left'), placeOf('right')];
    const [aim, sd, equalShare] = [number('aim_deg'), number('toe_sd_deg'), number('equal_share')];
    for (let row = 0; row < length; row++)
        yield {
            origin: origin(row),
            kit: kit[row]!,
            rodsKept: toeReset[row] === false,
            slope: toeSlope(row)[0]!,
            toes: toes(row),
            places: [leftPlace(row), rightPlace(row)] as const,
            aim: phase[row] === 'after' ? aim[row]! : Number.NaN,
            noise: 2 * sd[row]! * sd[row]!,
            equalShare: equalShare[row]!,
        };
}
type State = ReturnType<typeof statesIn> extends Generator<infer T> ? T : never;

/** What is summed over the states of a source; logs are of likelihoods. A tuple: V8 boxes each number of an object. */
type Sums = [
    count: number,
    equalCount: number,
    aimCount: number,
    changeCount: number,
    toe: number,
    aim: number,
    asWheels: number,
    aimOnce: number,
    aimTwice: number,
    wheelsRatio: number,
    totalRatio: number,
];

const log = (x: number, of: number) => logMixed([x], [of]);

/** How much likelier the changes of both sides since `earlier` are as those of doubled wheels, and of a total; null where nothing moved. */
function ratiosOf({ slope, toes, places, noise, kit, rodsKept }: State, earlier: State) {
    const moves = places.map((place, i) => moveBetween(earlier.places[i]!, place));
    const moved = moves.reduce((mm, [out, aft]) => mm + Math.abs(out) + Math.abs(aft), 0) > 1e-6;
    if (!rodsKept || earlier.kit !== kit || !moved) return null;
    const sides = moves.map((move, i) => {
        const change = toes[i]! - earlier.toes[i]!;
        return {
            change,
            expected: change - residual(change, slope, move),
            variance: noise + moveVariance(slope, move),
        };
    });
    const [left, right] = sides as [(typeof sides)[0], (typeof sides)[0]];
    const change = left.change + right.change;
    const expected = left.expected + right.expected;
    const [one, other] = moves as [Place, Place];
    const all = one.map((mm, i) => mm + other[i]!) as unknown as Place;
    const both = 2 * noise + moveVariance(slope, all);
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

/** What a state adds to the sums. */
function toldBy({ toes, aim, noise, equalShare }: State, ratios: ReturnType<typeof ratiosOf>): Sums {
    const [left, right] = toes as [number, number];
    const isEqual = Math.abs(left - right) < 0.002;
    const toe = (left + right) / 2;
    const asWheels = Math.log(isEqual ? equalShare : 1 - equalShare);
    // Of the mean of both sides; noise is that of a change of one.
    const spread = SET_VARIANCE + noise / 4;
    const ofAim = Number.isNaN(aim)
        ? ([0, 0, 0, 0, 0] as const)
        : ([1, toe, aim, log(toe - aim, spread), log(toe - 2 * aim, 4 * spread)] as const);
    const [aimCount, toeSum, aimSum, once, twice] = ofAim;
    const { wheels, total } = ratios ?? { wheels: 0, total: 0 };
    return [
        1,
        Number(isEqual),
        aimCount,
        Number(ratios !== null),
        toeSum,
        aimSum,
        asWheels,
        once,
        twice,
        wheels,
        total,
    ];
}

/** That totals or doubled numbers were written as toe of each wheel. */
function pOf(sums: Sums, share: number): number {
    const [count, equalCount, , , , , asWheels, aimOnce, aimTwice, wheelsRatio, totalRatio] = sums;
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
    const sources = new Sources((): Sums => [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
    let earlier: State | undefined;
    for await (const batch of batches) {
        for (const state of statesIn(batch)) {
            const { origin } = state;
            const sameVisit =
                earlier?.origin.vehicle === origin.vehicle && earlier.origin.visit === origin.visit;
            const told = toldBy(state, sameVisit ? ratiosOf(state, earlier!) : null);
            for (const { sums } of sources.of(origin))
                for (let i = 0; i < told.length; i++) sums[i]! += told[i]!;
            earlier = state;
        }
    }
    for (const { source, p } of sources.likely(({ kind, sums }) => pOf(sums, kind === 'visit' ? 0.5 : 1))) {
        const [count, equalCount, aimCount, changeCount, toe, aim] = source.sums;
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

import { normalCdf } from '../normal.js';
import type { Batch } from '../tables/batch.js';
import { angles, columnsOf, moveVariance, residual } from './corner.js';
import type { CheckFunction } from './finding.js';
import { Sources } from './sources.js';

/** Minutes of a number written as degrees.minutes: 30 for 1.30. */
const minutesPart = (x: number) => {
    const size = Math.abs(x);
    return Math.round((size - Math.floor(size + 1e-9)) * 1e8) / 1e6;
};

/** Degrees meant by it; NaN where the digits after the point are over .59. */
const fromMinutes = (x: number) =>
    minutesPart(x) < 59.5
        ? Math.sign(x) * (Math.floor(Math.abs(x) + 1e-9) + minutesPart(x) / 60)
        : Number.NaN;

/** The last number of a degree up to .59 on a display with this step (deg), 1 or less. */
const lastMinutes = (step: number) => Math.floor(0.595 / step) * step;

/** Share of numbers about `middle` whose digits after the point would be .59 or less on a display of this step. */
function shareUnder60({ middle, sd, step }: { middle: number; sd: number; step: number }): number {
    const below = (x: number) => normalCdf((x - middle) / sd);
    let share = 0;
    for (let whole = Math.floor(middle) - 6; whole <= Math.floor(middle) + 6; whole++)
        share += below(whole + lastMinutes(step) + step / 2) - below(whole - step / 2);
    return Math.max(Math.min(share, 1), 0.5);
}

/** What was written first of each state; lists are by angle, NaN where it was not read or cannot show minutes. */
function* statesIn(batch: Batch) {
    const { value, number, numbers, slope } = columnsOf(batch);
    const [chassis, vehicle, visit] = [
        value<string>('chassis'),
        value<string>('vehicle'),
        value<string>('visit'),
    ];
    const [corner, kit] = [value<string>('corner'), value<string | null>('kit')];
    const [file, line] = [value<string>('source_file'), value<number>('source_line')];
    const [technician, gauge] = [value<string | null>('technician'), value<string | null>('gauge')];
    const [out, aft, toePart] = [number('out_mm'), number('aft_mm'), number('toe_part_deg')];
    const each = (suffix: string) => numbers(angles.map((angle) => `${angle}_${suffix}`));
    const [deg, step, sd] = [each('deg'), each('step_deg'), each('sd_deg')];
    const [middle, spread] = [each('deg_middle'), each('deg_spread')];
    const slopes = angles.map(slope);
    for (let row = 0; row < batch.columns[0]!.length; row++) {
        const read = deg(row);
        yield {
            chassis: chassis(row),
            vehicle: vehicle(row),
            corner: corner(row),
            visit: visit(row),
            file: file(row),
            line: line(row),
            technician: technician(row),
            gauge: gauge(row),
            kit: kit(row),
            place: { out: out(row), aft: aft(row), oo: 0, oa: 0, aa: 0 },
            deg: read,
            converted: read.map(fromMinutes),
            // Camber is compared at equal toe.
            toePart: [toePart(row), 0, 0],
            step: step(row),
            noise: sd(row).map((one) => 2 * one * one),
            middle: middle(row),
            spread: spread(row),
            slopes: slopes.map((read) => read(row)),
        };
    }
}
type State = ReturnType<typeof statesIn> extends Generator<infer T> ? T : never;

/** What the change of an angle since the state before that has it too leaves over, as written and converted, in squared standard errors. */
function squaresOf(state: State, before: readonly State[], at: number) {
    const from = before.findLast((one) => !Number.isNaN(one.deg[at]!)) ?? before[0];
    if (from === undefined || from.kit !== state.kit) return null;
    const slope = state.slopes[at]!;
    const { out, aft } = from.place;
    const move = { ...state.place, out: state.place.out - out, aft: state.place.aft - aft };
    const variance = state.noise[at]! + moveVariance(slope, move);
    const toe = state.toePart[at]! - from.toePart[at]!;
    const square = (now: number, then: number) => {
        const x = residual(now + toe - then, slope, move);
        return Math.min((x * x) / variance, 25);
    };
    const converted = square(state.converted[at]!, from.converted[at]!);
    return Number.isNaN(converted) ? null : { converted, written: square(state.deg[at]!, from.deg[at]!) };
}

/** What is summed over the readings of a source. */
const blank = () => ({
    numberCount: 0,
    overCount: 0,
    changeCount: 0,
    changeLog: 0,
    written: 0,
    converted: 0,
    /** One number per car, axle and angle counts. */
    seen: new Map<string, { middle: number; sd: number; step: number }>(),
});
type Sums = ReturnType<typeof blank>;

function add(sums: Sums, state: State, at: number, squares: ReturnType<typeof squaresOf>): void {
    const step = state.step[at]!;
    const key = JSON.stringify([state.chassis, state.vehicle, state.corner[0], at]);
    const seen = sums.seen.get(key);
    if (seen === undefined) sums.seen.set(key, { middle: state.middle[at]!, sd: state.spread[at]!, step });
    else seen.step = Math.max(seen.step, step);
    sums.numberCount++;
    sums.overCount += Number(minutesPart(state.deg[at]!) >= 59.5);
    if (squares === null) return;
    sums.changeCount++;
    sums.changeLog -= Math.log(lastMinutes(step) + step);
    sums.written += squares.written;
    sums.converted += squares.converted;
}

/** That the numbers of a source are degrees and minutes. */
function pOf(sums: Sums, priorOdds: number): number {
    const { overCount, changeCount, changeLog, written, converted, seen } = sums;
    let logRatio = overCount * Math.log(0.02) + changeLog;
    for (const one of seen.values()) logRatio -= Math.log(shareUnder60(one));
    logRatio -= ((changeCount + 4) / 2) * Math.log((4 + converted) / (4 + written));
    return 1 / (1 + Math.exp(-Math.log(priorOdds) - logRatio));
}

/** Degrees and minutes that were read as decimals, by file, technician, gauge and visit. */
export const minutesAsDecimals: CheckFunction = async function* (batches) {
    const sources = new Sources(blank);
    let before: State[] = [];
    for await (const batch of batches) {
        for (const state of statesIn(batch)) {
            const [last] = before;
            if (last?.vehicle !== state.vehicle || last.corner !== state.corner || last.visit !== state.visit)
                before = [];
            const ofState = sources.of(state);
            for (let at = 0; at < 3; at++) {
                if (Number.isNaN(state.deg[at]!)) continue;
                const squares = squaresOf(state, before, at);
                for (const { sums } of ofState) add(sums, state, at, squares);
            }
            before.push(state);
        }
    }
    const odds = { file: 1 / 100, technician: 1 / 100, gauge: 1 / 100, visit: 1 / 200 };
    for (const { source, p } of sources.likely(({ kind, sums }) => pOf(sums, odds[kind]))) {
        const { numberCount, overCount, changeCount, written, converted } = source.sums;
        const whose = source.kind === 'visit' ? 'this visit' : `${source.kind} ${source.name}`;
        const better =
            converted < written
                ? `, and ${changeCount} changes fit the offsets better as degrees and minutes`
                : '';
        yield {
            ...source.place,
            finding: `${overCount || 'none'} of the ${numberCount} angles of ${whose} have digits after the point over .59${better}`,
            p_mistake: p,
        };
    }
};

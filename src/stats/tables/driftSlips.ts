import { chassisByName } from '../drift/chassis.js';
import { slipOf } from '../drift/slip.js';
import { rowsOf, type TableFunction } from './batch.js';
import { frontOf } from './driftSessions.js';

const times = (a: number | null, b: number | null) => (a === null || b === null ? null : a * b);
const plus = (a: number | null, b: number | null) => (a === null || b === null ? null : a + b);

/** How far the bearing of each front slipped, if it did. */
export const driftSlips: TableFunction = async function* (batches, whole) {
    const chassis = chassisByName(whole.sensitivities!);
    for await (const row of rowsOf(batches)) {
        const front = frontOf(row, chassis);
        const { sizes, variances, covariance } = slipOf(front);
        const [out, aft] = front.slot ?? [null, null];
        const inPlane = front.freedom === 'plane';
        const [first, second] = [sizes[0]!, sizes[1] ?? null];
        const [firstVariance, secondVariance] = [variances[0]!, variances[1] ?? null];
        const side = front.side === 1 ? 'left' : 'right';
        const mirror = row.plate_hand === null ? null : row.plate_hand === side ? 1 : -1;
        const across = plus(times(second, out), times(times(first, aft), -1));
        yield {
            chassis: row.chassis!,
            vehicle: row.vehicle!,
            corner: row.corner!,
            visit: row.visit!,
            slip_out_mm: inPlane ? first : times(first, out),
            slip_aft_mm: inPlane ? second : times(first, aft),
            slip_out_var_mm2: inPlane ? firstVariance : times(times(firstVariance, out), out),
            slip_aft_var_mm2: inPlane ? secondVariance : times(times(firstVariance, aft), aft),
            slip_cov_mm2: inPlane ? covariance : times(times(firstVariance, out), aft),
            slip_along_mm: inPlane ? plus(times(first, out), times(second, aft)) : first,
            slip_across_mm: inPlane ? times(across, mirror) : 0,
        };
    }
};

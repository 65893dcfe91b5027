import { chassisByName } from '../drift/chassis.js';
import { slipOf } from '../drift/slip.js';
import type { TableFunction, Value } from './batch.js';
import { Corners } from './driftSessions.js';

const times = (a: number | null, b: number | null) => (a === null || b === null ? null : a * b);
const plus = (a: number | null, b: number | null) => (a === null || b === null ? null : a + b);

/** 1 where the plate is of the corner's own side, -1 where it is of the other one. */
const mirrorOf = (hand: Value, side: number) =>
    hand === null ? null : (hand === 'left') === (side === 1) ? 1 : -1;

/** How far the bearing of each front slipped, if it did. */
export const driftSlips: TableFunction = async function* (batches, whole) {
    const chassis = chassisByName(whole.sensitivities!);
    for await (const batch of batches) {
        const corners = new Corners(batch);
        for (let row = 0; row < corners.count; row++) {
            const front = corners.front(row, chassis);
            const { sizes, variances, covariance } = slipOf(front);
            const [[first, second], [firstVariance, secondVariance]] = [sizes, variances];
            const [out, aft] = front.slot ?? [null, null];
            const inPlane = front.freedom === 'plane';
            const across = plus(times(second, out), times(times(first, aft), -1));
            yield {
                chassis: corners.value('chassis', row),
                vehicle: corners.value('vehicle', row),
                corner: corners.value('corner', row),
                visit: corners.value('visit', row),
                slip_out_mm: inPlane ? first : times(first, out),
                slip_aft_mm: inPlane ? second : times(first, aft),
                slip_out_var_mm2: inPlane ? firstVariance : times(times(firstVariance, out), out),
                slip_aft_var_mm2: inPlane ? secondVariance : times(times(firstVariance, aft), aft),
                slip_cov_mm2: inPlane ? covariance : times(times(firstVariance, out), aft),
                slip_along_mm: inPlane ? plus(times(first, out), times(second, aft)) : first,
                slip_across_mm: inPlane
                    ? times(across, mirrorOf(corners.value('plate_hand', row), front.side))
                    : 0,
            };
        }
    }
};

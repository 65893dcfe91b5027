import { plateSettings } from './plateSettings.js';
import { predict } from './predicted.js';
import { type Corners, NOTHING_WANTED, type Normal, type Search } from './problem.js';

/**
 * Every setting that the plates of one car can take, with the angles to expect: one row per corner, goal and setting; a corner without a
 * goal counts once, with `target_order` null.
 */
export function reachedSettings(normal: Normal, corners: Corners, search: Search) {
    return corners.flatMap((corner) =>
        (corner.goals.length === 0 ? [NOTHING_WANTED] : corner.goals).flatMap((goal) =>
            plateSettings(corner, search).map((place) => {
                const { two_scales, mark_min, mark_max, mark2_min, mark2_max } = corner.plate;
                const { camber, caster } = predict(normal, place, goal);
                return {
                    vehicle: corner.vehicle,
                    corner: corner.corner,
                    target_order: goal === NOTHING_WANTED ? null : goal.target_order,
                    plate_hand: place.plate_hand,
                    plate_index: place.plate_index,
                    two_scales,
                    mark_min,
                    mark_max,
                    mark2_min,
                    mark2_max,
                    stay: place.stay,
                    mark_1: place.mark_1,
                    mark_2: place.mark_2,
                    out_mm: place.out_mm,
                    aft_mm: place.aft_mm,
                    camber_deg: camber.deg,
                    caster_deg: caster.deg,
                };
            }),
        ),
    );
}

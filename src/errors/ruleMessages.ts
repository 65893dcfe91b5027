/** What is wrong across the columns of a row, behind the name of the first; `{column}` where its cell is put in. */

export const reversedMarks = (min: string, max: string) =>
    `{${min}} is above ${max} {${max}}: exchange the two, or mend their signs`;

export const halfScale = () =>
    '{mark2_min} with mark2_max {mark2_max} is half a scale: fill both in, or leave both blank where the plate has one scale only';

export const impossibleSlot = (min: string, max: string, longest: number) =>
    `{${max}} makes with ${min} {${min}} and mark_pitch_mm {mark_pitch_mm} a slot of more than ${longest} mm: mark_pitch_mm is millimetres per mark, ${min} and ${max} are marks; mend the one in another unit`;

export const coincidingIndices = () =>
    '{index_step_deg} with index_count {index_count} puts two bolt positions in one place: index_step_deg is the angle from one to the next (360 divided by index_count all around); mend either';

export const bigResolution = () =>
    '{mark_resolution} is more than the whole scale from mark_min {mark_min} to mark_max {mark_max}: it is the smallest part of a mark that is read, such as 0.5; mend it';

export const toleranceOfNothing = (tolerance: string, column: string) =>
    `{${tolerance}} is a tolerance of ${column}, which is blank: fill ${column} in, or delete the tolerance`;

export const limitsCrossed = () =>
    '{low_deg} is above high_deg, so nothing keeps the rule: exchange them (more negative camber is the lower one)';

export const crossOfNothing = (cross: string, column: string) =>
    `{${cross}} says how far left and right differ in ${column}, which is blank: fill ${column} in, or delete it`;

export const toleranceTooWide = (tolerance: string, column: string) =>
    `{${tolerance}} is wider than ${column} {${column}} itself: it is the half width of the tolerance in mm; mend either`;

export const lapsWithoutDistance = () =>
    '{distance_km} was driven in {laps} laps: write the distance in km, or leave it blank';

export const pitchTooCoarse = () =>
    '{thread_pitch_mm} does not go on a shaft of seat_diameter_mm {seat_diameter_mm}: the pitch is millimetres from thread to thread; mend either';

export const noThread = () =>
    '{thread_length_mm} is less than one turn of thread_pitch_mm {thread_pitch_mm}, so that no nut holds: mend either';

export const flatNut = () => '{height_mm} is no height of a nut: write its own height in mm';

export const angleOfNoSweep = () =>
    '{caster_sweep_deg} is the angle of a sweep, but caster_method is {caster_method}: write sweep there, or leave caster_sweep_deg blank';

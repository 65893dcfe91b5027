/** What is wrong across the columns of a row, behind the name of the first; `{column}` where its cell is put in. */

export function reversedMarks(min: string, max: string): string {
    return `{${min}} is above ${max} {${max}}: exchange the two, or mend their signs`;
}

export function halfScale(): string {
    return '{mark2_min} with mark2_max {mark2_max} is half a scale: fill both in, or leave both blank where the plate has one scale only';
}

export function impossibleSlot(min: string, max: string, longest: number): string {
    return `{${max}} makes with ${min} {${min}} and mark_pitch_mm {mark_pitch_mm} a slot of more than ${longest} mm: mark_pitch_mm is millimetres per mark, ${min} and ${max} are marks; mend the one in another unit`;
}

export function coincidingIndices(): string {
    return '{index_step_deg} with index_count {index_count} puts two bolt positions in one place: index_step_deg is the angle from one to the next (360 divided by index_count all around); mend either';
}

export function bigResolution(): string {
    return '{mark_resolution} is more than the whole scale from mark_min {mark_min} to mark_max {mark_max}: it is the smallest part of a mark that is read, such as 0.5; mend it';
}

export function toleranceOfNothing(tolerance: string, column: string): string {
    return `{${tolerance}} is a tolerance of ${column}, which is blank: fill ${column} in, or delete the tolerance`;
}

export function limitsCrossed(): string {
    return '{low_deg} is above high_deg, so nothing keeps the rule: exchange them (more negative camber is the lower one)';
}

export function crossOfNothing(cross: string, column: string): string {
    return `{${cross}} says how far left and right differ in ${column}, which is blank: fill ${column} in, or delete it`;
}

export function toleranceTooWide(tolerance: string, column: string): string {
    return `{${tolerance}} is wider than ${column} {${column}} itself: it is the half width of the tolerance in mm; mend either`;
}

export function lapsWithoutDistance(): string {
    return '{distance_km} was driven in {laps} laps: write the distance in km, or leave it blank';
}

export function pitchTooCoarse(): string {
    return '{thread_pitch_mm} does not go on a shaft of seat_diameter_mm {seat_diameter_mm}: the pitch is millimetres from thread to thread; mend either';
}

export function noThread(): string {
    return '{thread_length_mm} is less than one turn of thread_pitch_mm {thread_pitch_mm}, so that no nut holds: mend either';
}

export function flatNut(): string {
    return '{height_mm} is no height of a nut: write its own height in mm';
}

export function angleOfNoSweep(): string {
    return '{caster_sweep_deg} is the angle of a sweep, but caster_method is {caster_method}: write sweep there, or leave caster_sweep_deg blank';
}

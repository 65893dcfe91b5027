/** Covariance of a place in the plane (mm2): outboard with outboard, outboard with rearward, rearward with rearward. */
export interface PlaceError {
    oo: number;
    oa: number;
    aa: number;
}

/** What a millimetre does to an angle (deg/mm), and its variances (deg2/mm2): of the chassis' slopes, and of a corner about them. */
export interface Slope {
    slope_out: number;
    slope_aft: number;
    var_out: number;
    var_aft: number;
    cov_out_aft: number;
    spread_var: number;
    basis: 'own' | 'others' | 'geometry' | 'flagged';
    move_count: number;
}

/**
 * One angle as it was read. `bias_deg`: what its reader adds, as far as known; `var_deg2`: variance of the true angle about the reading
 * less that, of it `mean_var_deg2` from repeating, `set_up_var_deg2` from the set-up, `bias_var_deg2` from the bias; `next_var_deg2`:
 * of one reading more. `deg` is null where the angle was not read, the others where nothing is known of the reader.
 */
export interface Reading {
    deg: number | null;
    gauge: string | null;
    bias_deg: number | null;
    bias_var_deg2: number | null;
    set_up_var_deg2: number | null;
    next_var_deg2: number | null;
    mean_var_deg2: number | null;
    var_deg2: number | null;
}

/** Scales and clocking of a kit's plate, as table `plates` has them. */
export interface Plate {
    index_count: number;
    index_step_deg: number;
    axis_deg: number;
    pitch_mm: number;
    mark_min: number;
    mark_max: number;
    mark2_min: number;
    mark2_max: number;
    two_scales: boolean;
    centre_out_mm: number;
    centre_aft_mm: number;
    mark_error_mm2: number;
}

/**
 * What is wanted of a corner; an angle or limit that is not wanted is null, and a wanted angle has a tolerance. Toe is per wheel.
 * `cross_..._deg`: wanted left minus right, which the cross limits are about. `of_change`: the tolerances are of the change from the
 * present true angles, so that what a reading leaves open of those does not count.
 */
export interface Goal {
    target: string;
    target_order: number;
    camber_deg: number | null;
    camber_tol_deg: number | null;
    caster_deg: number | null;
    caster_tol_deg: number | null;
    toe_deg: number | null;
    toe_tol_deg: number | null;
    cross_camber_max_deg: number | null;
    cross_caster_max_deg: number | null;
    cross_camber_deg: number;
    cross_caster_deg: number;
    of_change?: boolean;
}

/** A goal that names nothing: every setting meets it. */
export const NOTHING_WANTED: Goal = {
    target: '',
    target_order: 1,
    camber_deg: null,
    camber_tol_deg: null,
    caster_deg: null,
    caster_tol_deg: null,
    toe_deg: null,
    toe_tol_deg: null,
    cross_camber_max_deg: null,
    cross_caster_max_deg: null,
    cross_camber_deg: 0,
    cross_caster_deg: 0,
};

/** One front corner as it stands, the plate to set there, what a millimetre does, and what is wanted. */
export interface Corner {
    vehicle: string;
    chassis: string | null;
    corner: 'FL' | 'FR';
    /** Present mount; null = original. The plate to set is of `new_kit`. */
    kit: string | null;
    new_kit: string;
    plate_hand: 'left' | 'right' | null;
    plate_index: number | null;
    mark_1: number | null;
    mark_2: number | null;
    offset_out_mm: number;
    offset_aft_mm: number;
    /** Of the present place, from reading the pointer. */
    read_error: PlaceError;
    camber: Reading;
    caster: Reading;
    toe: Reading;
    plate: Plate;
    slopes: { camber: Slope; caster: Slope; toe: Slope };
    goals: readonly Goal[];
}

/** Which settings are looked over. */
export interface Search {
    /** Steps in which the pointers can be set, marks. */
    step: number;
    /** All bolt positions and both plates instead of the present ones. */
    any_clocking: boolean;
    /** Bolt position to ask about, and whether each side takes the plate of its own hand; null = the present ones. */
    index: number | null;
    hand: 'own' | 'other' | null;
}

/** The front corners of one car, left before right, one or both. */
export type Corners = readonly Corner[];

/**
 * The normal distribution: `cdf`, and `rectangle(lowX, highX, lowY, highY, r)` of two with correlation `r`; NaN outside of their domain.
 * Given from outside, so that a search runs wherever these do.
 */
export interface Normal {
    cdf(x: number): number;
    rectangle(lowX: number, highX: number, lowY: number, highY: number, r: number): number;
}

/** The 0.975 quantile of the standard normal distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.1: 1.96). */
export const HALF_WIDTH = 1.959963984540054;

/** Whether an angle that is asked for was never read, so that nothing can be said of its tolerance. */
export const isUnread = ({ corner, goal }: { corner: Corner; goal: Goal }): boolean =>
    (goal.camber_deg !== null && corner.camber.deg === null) ||
    (goal.caster_deg !== null && corner.caster.deg === null);

/** A point or vector in the vehicle frame of a corner, mm: outboard and rearward. */
export interface Vector {
    out: number;
    aft: number;
}

/** Degrees per mm of one angle, and what the target allows of it (deg); null = not judged. */
export interface Judged {
    slope: Vector;
    tol: number | null;
}

/** Needed offsets of the corners of one chassis for one target. */
export interface Field {
    name: string;
    chassis: string;
    camber: Judged;
    caster: Judged;
    /** One entry per corner; `car` numbers the cars. */
    out: readonly number[];
    aft: readonly number[];
    car: readonly number[];
    /** All corners that these stand for. */
    cornerCount: number;
    /** Independent corners behind a share, by kit: left and right of a car and the error of the slopes counted. */
    effectiveCount: Readonly<Record<string, number>>;
}

/** A plate: middle, direction and half-lengths of its slot at index 1, mm and degrees. */
export interface Design {
    half_mm: number;
    /** Half-length of the second scale, 0 for one scale. */
    side_mm: number;
    middle: Vector;
    axis_deg: number;
    index_count: number;
    index_step_deg: number;
}

/** A kit as it is; `chassis` null = any. */
export interface Kit {
    kit: string;
    chassis: string | null;
    design: Design;
}

/** What the block carries into the page. */
export interface WhatIfData {
    fields: readonly Field[];
    kits: readonly Kit[];
}

/** Degrees of an angle in minutes of arc: 1 degree = 60 minutes (SI Brochure, 9th edition, table 8). */
export function arcminToDeg(angle_arcmin: number): number {
    return angle_arcmin / 60;
}

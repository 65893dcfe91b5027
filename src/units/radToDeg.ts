/** Degrees of an angle in radians: 1 deg = pi/180 rad (SI Brochure, 9th edition, table 8). */
export function radToDeg(angle_rad: number): number {
    return (angle_rad * 180) / Math.PI;
}

/** Radians of an angle in degrees: 1 deg = pi/180 rad (SI Brochure, 9th edition, table 8). */
export function degToRad(angle_deg: number): number {
    return (angle_deg * Math.PI) / 180;
}

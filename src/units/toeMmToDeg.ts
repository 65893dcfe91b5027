import { radToDeg } from './conversions.js';

/**
 * Toe angle in degrees of one wheel whose front stands `toe_mm` closer to the centreline than its rear, measured at two
 * points `diameter_mm` apart: toe_mm = diameter_mm * sin(toe). Null where toe_mm exceeds the diameter.
 */
export function toeMmToDeg(toe_mm: number, diameter_mm: number): number | null {
    const sine = toe_mm / diameter_mm;
    return Math.abs(sine) <= 1 ? radToDeg(Math.asin(sine)) : null;
}

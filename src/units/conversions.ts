/** Radians of an angle in degrees: 1 deg = pi/180 rad (SI Brochure, 9th edition, table 8). */
export const degToRad = (angle_deg: number) => (angle_deg * Math.PI) / 180;

/** Degrees of an angle in radians: 1 deg = pi/180 rad (SI Brochure, 9th edition, table 8). */
export const radToDeg = (angle_rad: number) => (angle_rad * 180) / Math.PI;

/** Degrees of an angle in minutes of arc: 1 degree = 60 minutes (SI Brochure, 9th edition, table 8). */
export const arcminToDeg = (angle_arcmin: number) => angle_arcmin / 60;

/** Millimetres of a length in centimetres. */
export const cmToMm = (length_cm: number) => length_cm * 10;

/** Millimetres of a length in inches: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959). */
export const inchesToMm = (length_in: number) => (length_in * 254) / 10;

/** Kilopascals of a pressure in bar: 1 bar = 100 kPa (SI Brochure, 9th edition, section 4). */
export const barToKpa = (pressure_bar: number) => pressure_bar * 100;

/**
 * Kilopascals of a pressure in pounds-force per square inch: 0.453 592 37 kg * 9.806 65 m/s2 / (25.4 mm)^2, all exact by
 * definition; NIST SP 811, appendix B.8, has 6.894 757 (from memory).
 */
export const psiToKpa = (pressure_psi: number) => (pressure_psi * 0.45359237 * 9.80665) / 0.0254 ** 2 / 1000;

/** Litres of a volume in US gallons: 231 cubic inches of (25.4 mm)^3, exact by definition (NIST SP 811, appendix B.8, from memory). */
export const usGallonsToL = (volume_gal: number) => volume_gal * 3.785411784;

/** Litres of a volume in imperial gallons: 4.546 09 l, exact by definition (NIST SP 811, appendix B.8, from memory). */
export const ukGallonsToL = (volume_gal: number) => volume_gal * 4.54609;

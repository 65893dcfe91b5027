/** Kilopascals of a pressure in bar: 1 bar = 100 kPa (SI Brochure, 9th edition, section 4). */
export function barToKpa(pressure_bar: number): number {
    return pressure_bar * 100;
}

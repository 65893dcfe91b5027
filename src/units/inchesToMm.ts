/** Millimetres of a length in inches: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959). */
export function inchesToMm(length_in: number): number {
    return (length_in * 254) / 10;
}

/** Millimetres of a length in centimetres. */
export function cmToMm(length_cm: number): number {
    return length_cm * 10;
}

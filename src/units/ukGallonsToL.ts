/** Litres of a volume in imperial gallons: 4.546 09 l, exact by definition (NIST SP 811, appendix B.8, from memory). */
export function ukGallonsToL(volume_gal: number): number {
    return volume_gal * 4.54609;
}

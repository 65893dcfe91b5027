/** Litres of a volume in US gallons: 231 cubic inches of (25.4 mm)^3, exact by definition (NIST SP 811, appendix B.8, from memory). */
export function usGallonsToL(volume_gal: number): number {
    return volume_gal * 3.785411784;
}

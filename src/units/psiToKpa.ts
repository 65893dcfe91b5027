/**
 * Kilopascals of a pressure in pounds-force per square inch: 0.453 592 37 kg * 9.806 65 m/s2 / (25.4 mm)^2, all exact by
 * definition; NIST SP 811, appendix B.8, has 6.894 757 (from memory).
 */
export function psiToKpa(pressure_psi: number): number {
    return (pressure_psi * 0.45359237 * 9.80665) / 0.0254 ** 2 / 1000;
}

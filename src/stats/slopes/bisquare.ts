/**
 * Tukey's bisquare by q = (u / tuning)^2, u a residual in units of the scale. `rho` has a maximum of 1; `weight` = psi(u) / u;
 * `slope` = psi'(u); `rhoSlope` = u rho'(u).
 * Source: Maronna, Martin, Yohai and Salibian-Barrera, Robust Statistics, 2nd ed. 2019, section 2.3 and table 2.4; from memory.
 */
export const bisquare = {
    rho: (q: number) => (q < 1 ? 1 - (1 - q) * (1 - q) * (1 - q) : 1),
    weight: (q: number) => (q < 1 ? (1 - q) * (1 - q) : 0),
    slope: (q: number) => (q < 1 ? (1 - q) * (1 - 5 * q) : 0),
    rhoSlope: (q: number) => (q < 1 ? 6 * q * (1 - q) * (1 - q) : 0),
};

/** Tuning for a scale with 50 % breakdown, where rho averages 1/2. */
export const BREAKDOWN = 1.547645;

/** Tuning for 95 % efficiency at the normal. */
export const EFFICIENCY = 4.685061;

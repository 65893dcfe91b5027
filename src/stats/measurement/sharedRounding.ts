/**
 * Share of the variance step^2 / 12 of a display's rounding that readings of one state have in common, by their standard deviation
 * `sd` in display steps: 1 where all show the same digit, near 0 from half a step on. Covariance of the rounding errors of two readings
 * about one true value that may lie anywhere in a step, from the Fourier series of the error.
 * Source: Widrow and Kollar, Quantization Noise, 2008, chapter 5; from memory.
 */
export function sharedRounding(sd: number): number {
    let sum = 0;
    for (let k = 1; k <= 200; k++) {
        const term = Math.exp(-((2 * Math.PI * k * sd) ** 2)) / (k * k);
        sum += term;
        if (term < 1e-15) break;
    }
    return Math.min((6 / Math.PI ** 2) * sum, 1);
}

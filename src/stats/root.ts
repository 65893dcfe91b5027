/**
 * The x between `low` and `high` with f(x) = 0, to the last digits; f(low) and f(high) must differ in sign or be 0.
 * False position with the Illinois weight (Dowell and Jarratt 1971, BIT 11, 168-174).
 */
export function root(f: (x: number) => number, low: number, high: number): number {
    let [a, fa, b, fb] = [low, f(low), high, f(high)];
    for (let step = 0; step < 100 && fb !== 0 && Math.abs(b - a) > 1e-14 * Math.abs(b); step++) {
        const x = b - (fb * (b - a)) / (fb - fa);
        const fx = f(x);
        if (fx * fb < 0) [a, fa] = [b, fb];
        else fa /= 2;
        [b, fb] = [x, fx];
    }
    return b;
}

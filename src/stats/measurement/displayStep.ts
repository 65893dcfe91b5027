/** Distinct values with the number of readings that show each. */
type Counted = ReadonlyMap<number, number>;

const FINEST_DECIMALS = 4;
/** Share of the readings that must lie on a grid; the others are typing mistakes. */
const ON_GRID = 0.98;
/** Chance, at most, of so many values on a coarser grid where the display shows the finer one. */
const BY_CHANCE = 1e-6;

/** Steps that instruments show, in degrees: decimals, and minutes of arc. */
const steps = [
    1,
    0.5,
    0.25,
    10 / 60,
    0.2,
    0.1,
    5 / 60,
    0.05,
    2 / 60,
    0.02,
    1 / 60,
    0.01,
    0.005,
    0.002,
    0.001,
] as const;

function shareOn(values: Counted, isOn: (value: number) => boolean): number {
    let [on, all] = [0, 0];
    for (const [value, count] of values) {
        all += count;
        if (isOn(value)) on += count;
    }
    return on / all;
}

const onGrid = (step: number, slack: number) => (value: number) =>
    Math.abs(value - Math.round(value / step) * step) <= slack + 1e-9;

const gridOf = (decimals: number) => Number(`1e-${decimals}`);

/** Number of decimals that the values were written with; undefined where more than four, as of numbers that no display shows. */
function decimalsOf(values: Counted): number | undefined {
    for (let decimals = 0; decimals <= FINEST_DECIMALS; decimals++) {
        if (shareOn(values, onGrid(gridOf(decimals), 0)) >= ON_GRID) return decimals;
    }
    return undefined;
}

/**
 * Step (deg) of the display that shows `values` (deg): the coarsest grid of common ones that holds 98 % of the readings, where so many
 * values would not all lie on it by chance (one in a million). 0 where the values lie on no grid: as measured, not displayed.
 * Minutes are recognised in decimals of any number of digits.
 */
export function displayStep(values: Counted): number {
    if (values.size === 0) return 0;
    const decimals = decimalsOf(values);
    if (decimals === undefined) return 0;
    const written = gridOf(decimals);
    for (const step of steps) {
        if (step <= written * (1 + 1e-9)) break;
        // A step that is no multiple of what is written was rounded to it.
        const isMultiple = Math.abs(step / written - Math.round(step / written)) < 1e-6;
        const isOn = onGrid(step, isMultiple ? 0 : written / 2);
        if (shareOn(values, isOn) < ON_GRID) continue;
        const places = Math.round(1 / written);
        const byChance =
            Array.from({ length: places }, (_, i) => i * written).filter(isOn).length / Math.max(places, 1);
        // A value that was read again is a second witness; more of it may be one setting, written down many times.
        let witnesses = 0;
        for (const [value, count] of values) if (isOn(value)) witnesses += Math.min(count, 2);
        if (witnesses * Math.log(byChance) <= Math.log(BY_CHANCE)) return step;
    }
    return written;
}

import { type CarCheck, carsIn } from './corner.js';
import type { CheckFunction, Finding, Records, Whole } from './finding.js';
import { lostCamberSign } from './lostCamberSign.js';
import { offsetUnitOrSign } from './offsetUnitOrSign.js';
import { swappedSides } from './swappedSides.js';
import { toeTotalAsWheel } from './toeTotalAsWheel.js';
import { wrongPlacement } from './wrongPlacement.js';

const checkFunctions: Readonly<Record<string, CheckFunction>> = {
    offset_unit_or_sign: offsetUnitOrSign,
    toe_total_as_wheel: toeTotalAsWheel,
};

/** Those that judge the rows of `car_corners`. */
const carChecks: Readonly<Record<string, CarCheck>> = {
    wrong_placement: wrongPlacement,
    swapped_sides: swappedSides,
    lost_camber_sign: lostCamberSign,
};

/** The names of the checks that say `-- computed by`. */
export const computedChecks: readonly string[] = Object.keys({ ...checkFunctions, ...carChecks });

/** What the checks of these names, which ask the same rows, find in them, each with its name. */
export async function* findingsOf(
    names: readonly string[],
    batches: AsyncIterable<Records>,
    whole: Whole,
): AsyncIterable<readonly [string, Finding]> {
    const [name] = names;
    const alone = checkFunctions[name!];
    if (alone !== undefined) {
        for await (const finding of alone(batches, whole)) yield [name!, finding];
        return;
    }
    const judges = names.map((name) => [name, carChecks[name]!(whole)] as const);
    for await (const cars of carsIn(batches)) {
        for (const car of cars)
            for (const [name, judge] of judges) for (const finding of judge(car)) yield [name, finding];
    }
}

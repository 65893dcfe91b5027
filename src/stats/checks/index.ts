import type { CheckFunction } from './finding.js';
import { lostCamberSign } from './lostCamberSign.js';
import { offsetUnitOrSign } from './offsetUnitOrSign.js';
import { swappedSides } from './swappedSides.js';
import { toeTotalAsWheel } from './toeTotalAsWheel.js';
import { wrongPlacement } from './wrongPlacement.js';

/** The functions that checks name with `-- computed by`, by the names of the checks. */
export const checkFunctions: Readonly<Record<string, CheckFunction>> = {
    wrong_placement: wrongPlacement,
    swapped_sides: swappedSides,
    offset_unit_or_sign: offsetUnitOrSign,
    toe_total_as_wheel: toeTotalAsWheel,
    lost_camber_sign: lostCamberSign,
};

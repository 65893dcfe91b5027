import { attitudeChanged } from './attitudeChanged.js';
import type { CarCause, CornerCause } from './cause.js';
import { cradleMoved } from './cradleMoved.js';
import { gaugeZero } from './gaugeZero.js';
import { held } from './held.js';
import { lowerArmMoved } from './lowerArmMoved.js';
import { misread } from './misread.js';
import { mountMoved } from './mountMoved.js';
import { plateSlipped } from './plateSlipped.js';
import { referenceRolled } from './referenceRolled.js';
import { spindleBent } from './spindleBent.js';
import { steeringOff } from './steeringOff.js';
import { struck } from './struck.js';
import { strutBent } from './strutBent.js';
import { tieRodTurned } from './tieRodTurned.js';
import { unexplained } from './unexplained.js';

/** What may have happened to a front over a session: that it held, then everything else. */
export const cornerCauses = [
    held,
    plateSlipped,
    mountMoved,
    spindleBent,
    strutBent,
    struck,
    tieRodTurned,
    lowerArmMoved,
    misread,
    unexplained,
] as const satisfies readonly CornerCause[];

/** What may have happened to the whole car. */
export const carCauses = [
    cradleMoved,
    referenceRolled,
    gaugeZero,
    steeringOff,
    attitudeChanged,
] as const satisfies readonly CarCause[];

/** All causes: `cause` in tables and results is one of their names. */
export const causes = [...cornerCauses, ...carCauses] as const;
export type CauseName = (typeof causes)[number]['name'];

/** The cause of that name. */
export const causeNamed = (name: CauseName) => causes.find((cause) => cause.name === name)!;

/** Number of sessions that the shares count as against the data. */
export const priorCount = 40;

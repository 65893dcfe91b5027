import { programName } from './programName.js';

/** Sentences about `audit` and `range` that cannot be answered as asked. */

export const unknownGrouping = (name: string, known: readonly string[]) =>
    `--by cannot split by "${name}". Use one of ${known.join(', ')}, or two of them joined by a comma.`;

export const tooManyGroupings = (count: number) =>
    `--by takes one name or two different ones joined by a comma; it got ${count}.`;

export const noTargets = () =>
    `No targets are loaded. Load a targets file with the angles wanted and their tolerances: ${programName()} load targets.csv.`;

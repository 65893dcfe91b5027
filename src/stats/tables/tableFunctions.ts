import type { TableFunction } from './batch.js';
import { displaySteps } from './displaySteps.js';
import { drift } from './drift.js';
import { driftCauses } from './driftCauses.js';
import { driftOdds } from './driftOdds.js';
import { heightGains } from './heightGains.js';
import { neededSpreads } from './neededSpreads.js';
import { pointerErrors } from './pointerErrors.js';
import { readerBiases } from './readerBiases.js';
import { repeatCells } from './repeatCells.js';
import { sessionChanges } from './sessionChanges.js';
import { setUps } from './setUps.js';
import { slopeEstimates } from './slopeEstimates.js';
import { slopePopulations } from './slopePopulations.js';
import { slopesShrunk } from './slopesShrunk.js';
import { unrecordedChanges } from './unrecordedChanges.js';

/** The functions that model files name with `-- computed by`, by the names of their tables. */
export const tableFunctions: Readonly<Record<string, TableFunction>> = {
    display_steps: displaySteps,
    repeat_cells: repeatCells,
    set_ups: setUps,
    reader_biases: readerBiases,
    slope_estimates: slopeEstimates,
    slope_populations: slopePopulations,
    slopes_shrunk: slopesShrunk,
    pointer_errors: pointerErrors,
    session_changes: sessionChanges,
    height_gains: heightGains,
    needed_spreads: neededSpreads,
    drift_odds: driftOdds,
    drift,
    drift_causes: driftCauses,
    unrecorded_changes: unrecordedChanges,
};

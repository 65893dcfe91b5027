import { type DuckDBConnection, DuckDBScalarFunction, VARCHAR } from '@duckdb/node-api';
import { bivariateNormalRectangle } from './bivariateNormal.js';
import { normalCdf } from './normal.js';
import { advisedSettings } from './settings/advisedSettings.js';
import { clockedWays } from './settings/clockedWays.js';
import type { Corners, Normal, Search } from './settings/problem.js';
import { reachedSettings } from './settings/reachedSettings.js';
import type { ToeUnits } from './settings/toe.js';

/** The normal distribution for a search over settings. */
export const normal: Normal = { cdf: normalCdf, rectangle: bivariateNormalRectangle };

const inDegrees: ToeUnits = { diameter_mm: null, arm_mm: null, turn_mm: null };

interface Asked extends Search {
    corners: Corners;
    units: ToeUnits | null;
    keep_caster: boolean;
}

/** The searches over settings that SQL gets from here: JSON of one car (see sql/questions/120) to JSON of its rows. */
const searches: Readonly<Record<string, (asked: Asked) => readonly object[]>> = {
    advised_settings_of: ({ corners, units, ...search }) =>
        advisedSettings(normal, corners, search, units ?? inDegrees).map((row) => ({
            ...row,
            asked: 'target',
            stopped_by: null,
            marks_alone: null,
        })),
    clocked_ways_of: (asked) => clockedWays(normal, asked.corners, asked, asked.keep_caster),
    reached_settings_of: (asked) =>
        reachedSettings(normal, asked.corners, { ...asked, index: null, hand: null }),
};

/** Registers {@link searches} on `connection`. */
export function registerSearches(connection: DuckDBConnection): void {
    for (const [name, search] of Object.entries(searches)) {
        connection.registerScalarFunction(
            DuckDBScalarFunction.create({
                name,
                returnType: VARCHAR,
                parameterTypes: [VARCHAR],
                mainFunction: (_info, chunk, output) => {
                    const [texts] = chunk.getColumns() as [string[]];
                    for (let row = 0; row < chunk.rowCount; row++) {
                        output.setItem(row, JSON.stringify(search(JSON.parse(texts[row]!))));
                    }
                    output.flush();
                },
            }),
        );
    }
}

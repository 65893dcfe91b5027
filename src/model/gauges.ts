import { z } from 'zod';
import { type GaugeRow, gaugeRow } from '../contracts/results/gauges.js';
import type { Database } from '../db/database.js';
import { gaugeNotes } from './gaugeNotes.js';

const stored = gaugeRow.omit({ tolerances: true, compared: true });
const comparedRow = gaugeRow.shape.compared.element.extend({ gauge: z.string(), response: z.string() });
const toleranceRow = gaugeRow.shape.tolerances.element.extend({ gauge: z.string(), response: z.string() });

/** What has to be there before it can be asked. */
export const gaugesNeeds = ['gauges', 'gauge_pairs', 'gauge_tolerances'];

/** Repeatability and bias of each gauge and person, gauges first, with what a reader must know as sentences. */
export async function gauges(db: Database): Promise<{ rows: GaugeRow[]; notes: string[] }> {
    const rows = await db.rows(
        stored,
        `select ${Object.keys(stored.shape).join(', ')} from gauges
        order by list_position(['gauge', 'pair', 'technician'], kind), name,
            list_position(['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'], response)`,
    );
    const tolerances = await db.rows(
        toleranceRow,
        `select ${Object.keys(toleranceRow.shape).join(', ')} from gauge_tolerances order by gauge, response, target, chassis nulls first`,
    );
    const pairs = await db.rows(
        comparedRow,
        `select coalesce(gauge, '(not named)') as gauge, response, coalesce(other_gauge, '(not named)') as other_gauge,
            difference_deg, std_error_deg, setting_count
        from gauge_pairs order by gauge, response, other_gauge`,
    );
    const told = rows.map((row) => ({
        ...row,
        compared: pairs
            .filter(
                ({ gauge, response }) =>
                    row.kind === 'gauge' && gauge === row.name && response === row.response,
            )
            .map(({ gauge: _gauge, response: _response, ...pair }) => pair),
        tolerances: tolerances
            .filter(
                ({ gauge, response }) =>
                    row.kind === 'gauge' && gauge === row.name && response === row.response,
            )
            .map(({ gauge: _gauge, response: _response, ...tolerance }) => tolerance),
    }));
    return { rows: told, notes: gaugeNotes(told) };
}

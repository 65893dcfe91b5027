import { z } from 'zod';
import { type GaugeRow, gaugeRow } from '../contracts/results/gauges.js';
import type { Database } from '../db/database.js';
import { gaugeNotes } from './gaugeNotes.js';

const ofReferences = {
    reference_error_deg: true,
    reference_std_error_deg: true,
    reference_reading_count: true,
    reference_first_on: true,
    reference_last_on: true,
    reference_missing: true,
} as const;
const stored = gaugeRow.omit({ tolerances: true, compared: true, ...ofReferences });
const referenceRow = gaugeRow.pick({ name: true, response: true, ...ofReferences });
export type ReferenceRow = z.infer<typeof referenceRow>;
const comparedRow = gaugeRow.shape.compared.element.extend({ gauge: z.string(), response: z.string() });
const toleranceRow = gaugeRow.shape.tolerances.element.extend({ gauge: z.string(), response: z.string() });

/** What has to be there before it can be asked. */
export const gaugesNeeds = ['gauges', 'gauge_pairs', 'gauge_tolerances', 'gauge_references'];

const unreferenced = (kind: GaugeRow['kind']) => ({
    reference_error_deg: null,
    reference_std_error_deg: null,
    reference_reading_count: 0,
    reference_first_on: null,
    reference_last_on: null,
    reference_missing:
        kind === 'gauge' ? 'no file of references holds a reading of it' : 'references tell of gauges only',
});

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
        `select ${Object.keys(toleranceRow.shape).join(', ')} from gauge_tolerances() order by gauge, response, target, chassis nulls first`,
    );
    const pairs = await db.rows(
        comparedRow,
        `select coalesce(gauge, '(not named)') as gauge, response, coalesce(other_gauge, '(not named)') as other_gauge,
            difference_deg, std_error_deg, setting_count
        from gauge_pairs order by gauge, response, other_gauge`,
    );
    const references = await db.rows(
        referenceRow,
        `select
            gauge as name,
            response,
            error_deg as reference_error_deg,
            sqrt(error_var_deg2) as reference_std_error_deg,
            reading_count as reference_reading_count,
            first_on as reference_first_on,
            last_on as reference_last_on,
            reason as reference_missing
        from gauge_references order by gauge, response`,
    );
    const told = rows.map((row) => ({
        ...row,
        ...(references.find(
            ({ name, response }) => row.kind === 'gauge' && name === row.name && response === row.response,
        ) ?? unreferenced(row.kind)),
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
    return { rows: told, notes: gaugeNotes(told, references) };
}

import type { WhatIf } from '../../src/report/blocks.js';
import type { Field, Kit } from '../../src/report/whatIf/model.js';
import { bestRows, type Rows } from './rows.js';

function fieldOf(rows: Rows, row: Rows['fields'][number]): Field | null {
    const points = rows.points.filter((point) => point.group_rank === row.group_rank);
    const best = bestRows(rows).filter((one) => one.group_rank === row.group_rank && one.kit !== null);
    if (points.length === 0 || best.length === 0) return null;
    return {
        name: `${row.chassis}, ${row.target}`,
        chassis: row.chassis,
        camber: {
            slope: { out: row.camber_out_deg_per_mm, aft: row.camber_aft_deg_per_mm },
            tol: row.camber_tol_deg,
        },
        caster: {
            slope: { out: row.caster_out_deg_per_mm, aft: row.caster_aft_deg_per_mm },
            tol: row.caster_tol_deg,
        },
        out: points.map((point) => point.out_mm),
        aft: points.map((point) => point.aft_mm),
        car: points.map((point) => point.car),
        cornerCount: points[0]!.corner_count,
        effectiveCount: Object.fromEntries(best.map((one) => [one.kit!, one.effective_count!])),
    };
}

/** Clouds that a kit can be judged on, and the kits as they are. */
export function whatIfData(rows: Rows): { fields: Field[]; kits: Kit[] } {
    return {
        fields: rows.fields.map((row) => fieldOf(rows, row)).filter((field) => field !== null),
        kits: rows.plates.map((row) => ({
            kit: row.kit,
            chassis: row.chassis,
            design: {
                half_mm: row.half_length_mm,
                side_mm: row.side_mm,
                middle: { out: row.middle_out_mm, aft: row.middle_aft_mm },
                axis_deg: row.axis_deg,
                index_count: row.index_count,
                index_step_deg: row.index_step_deg,
            },
        })),
    };
}

/** The plate that the reader changes; null without a kit or a cloud. */
export function whatIf(rows: Rows): WhatIf | null {
    const data = whatIfData(rows);
    if (data.fields.length === 0 || data.kits.length === 0) return null;
    return {
        kind: 'whatIf',
        title: 'Needed offsets over what the plate reaches',
        alt: 'Plan view of one strut top, outboard to the right and rearward down: the needed offset of each corner as a point where the plate reaches it and as a cross where it does not, over the slots of the plate in every index and the areas within tolerance of them.',
        data,
    };
}

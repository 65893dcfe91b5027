import {
    type MergeRow,
    mergeRow,
    type NeedRow,
    needRow,
    type PopulationRow,
    populationRow,
    type ReachRow,
} from '../contracts/results/merge.js';
import { slopeRow } from '../contracts/results/slopes.js';
import type { Database } from '../db/database.js';
import { counted } from '../errors/words.js';
import { percent } from '../units/percent.js';
import { mergedNotes } from './mergedNotes.js';
import { type Plates, pooledReach } from './pooledReach.js';

interface MergedAnswer {
    rows: MergeRow[];
    populations: PopulationRow[];
    needs: NeedRow[];
    reaches: ReachRow[];
    notes: string[];
}

const angles = "list_position(['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'], response)";

function slopeRows(db: Database): Promise<MergeRow[]> {
    return db.rows(
        mergeRow,
        `with sites as (
            select
                chassis,
                response,
                count(distinct source_file) filter (where abs(move_out_mm) > 1e-6) as out_count,
                count(distinct source_file) filter (where abs(move_aft_mm) > 1e-6) as aft_count
            from slope_moves
            group by chassis, response
        )
        select
            ${Object.keys(slopeRow.shape).join(', ')},
            coalesce(case axis when 'out' then out_count else aft_count end, 0) as site_count
        from slopes
        left join sites using (chassis, response)
        order by chassis, ${angles}, axis desc`,
    );
}

function populationRows(db: Database): Promise<PopulationRow[]> {
    return db.rows(
        populationRow,
        `select
            response,
            axis,
            chassis_count,
            mean_deg_per_mm,
            sqrt(mean_var) as mean_std_error_deg_per_mm,
            between_var as between_var_deg2_per_mm2,
            paule_mandel_mean as paule_mandel_mean_deg_per_mm,
            paule_mandel_var as paule_mandel_var_deg2_per_mm2
        from slope_populations
        order by ${angles}, axis desc`,
    );
}

/** Fields of `range` by the columns of needed_spreads, for each axis. */
const needFields = {
    mean: 'mean_mm',
    sd: 'sd_mm',
    low: 'low_mm',
    high: 'high_mm',
    free_low: 'free_low_mm',
    free_high: 'free_high_mm',
    std_error: 'std_error_mm',
    sd_noise: 'sd_noise_mm',
    rho: 'rho',
};

function needRows(db: Database): Promise<NeedRow[]> {
    const fields = ['out', 'aft'].flatMap((axis) =>
        Object.entries(needFields).map(([name, column]) => {
            const field = `need_${axis}_${name}${column.endsWith('_mm') ? '_mm' : ''}`;
            return `max(${column}) filter (where axis = '${axis}') as ${field}`;
        }),
    );
    return db.rows(
        needRow,
        `with sites as (
            select chassis, target, count(distinct source_file) as site_count
            from needed_offsets
            where not set_apart
            group by chassis, target
        )
        select
            chassis,
            target,
            max(site_count) as site_count,
            max(corner_count) as corner_count,
            max(vehicle_count) as vehicle_count,
            max(censored_count) as censored_count,
            max(set_apart_count) as set_apart_count,
            ${fields.join(', ')},
            max(free_count_needed) as free_count_needed,
            max(missing) as reason
        from needed_spreads
        inner join sites using (chassis, target)
        group by chassis, target
        order by chassis, target`,
    );
}

/** One sentence a plate: what it reaches over all chassis and targets, and where least. */
function reachNotes(reaches: readonly ReachRow[]): string[] {
    return [...new Set(reaches.map(({ kit }) => kit))].map((kit) => {
        const own = reaches.filter((row) => row.kit === kit);
        const where = ({ chassis, target }: ReachRow) => `${chassis} for ${target}`;
        const shares = own.filter(({ share_reachable }) => share_reachable !== null);
        const longest = (row: ReachRow) => row.half_length_95_mm ?? Number.POSITIVE_INFINITY;
        if (shares.length === 0) {
            const most = own.reduce((a, b) => (longest(b) > longest(a) ? b : a));
            const mm = most.half_length_95_mm;
            return `A ${kit}, through the middle of the needs, asks for ${mm === null ? 'more than any half-length' : `a half-length of up to ${mm.toFixed(1)} mm`} to reach 95 % of the corners: ${where(most)}.`;
        }
        const corners = shares.reduce((sum, { corner_count }) => sum + corner_count, 0);
        const reached = shares.reduce((sum, row) => sum + row.share_reachable! * row.corner_count, 0);
        const least = shares.reduce((a, b) => (b.share_reachable! < a.share_reachable! ? b : a));
        const interval = `95 % interval ${percent(least.conf_low!)} to ${percent(least.conf_high!)}`;
        return `${kit} reaches ${percent(reached / corners)} of ${corners} corners over ${counted(shares.length, 'chassis and target', 'chassis and targets')}; least on ${where(least)}: ${percent(least.share_reachable!)} (${interval}).`;
    });
}

/**
 * Slopes, between-chassis variances and needed offsets of a database of `mergeShares`, and what `plates` reach of these, with what a
 * reader must know as sentences.
 */
export async function merged(db: Database, plates: Plates = {}): Promise<MergedAnswer> {
    const rows = await slopeRows(db);
    const needs = await needRows(db);
    const populations = await populationRows(db);
    const notes = await mergedNotes(db, rows);
    const reaches = await pooledReach(db, plates);
    return { rows, populations, needs, reaches, notes: [...reachNotes(reaches), ...notes] };
}

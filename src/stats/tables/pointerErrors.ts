import { type MovedAngle, type PointerMove, pointerError } from '../slopes/pointerErrors.js';
import { type Group, groupsBy, type Row, type TableFunction } from './batch.js';

const responses = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'];
/** Variance of a slip along one axis, mm2 (common practice, no source). */
const SLIP_MM2 = 4;
const MOST_MOVES = 512;

/** The loadings of two independent factors that make the covariance of the move: its Cholesky factor times the slopes. */
function loadingsOf(row: Row): [number, number] {
    const [oo, oa, aa] = ['oo', 'oa', 'aa'].map((axes) => row[`read_error_${axes}_mm2`] as number);
    const [out, aft] = [row.slope_out as number, row.slope_aft as number];
    const across = Math.sqrt(oo!);
    const along = across > 1e-9 ? oa! / across : 0;
    return [out * across + aft * along, aft * Math.sqrt(Math.max(aa! - along * along, 0))];
}

function movesOf(group: Group): PointerMove[] {
    const moves: (PointerMove & { move: number; angles: MovedAngle[] })[] = [];
    for (const row of group.rows()) {
        const move = row.move as number;
        if (moves.at(-1)?.move !== move) {
            const trace = (row.read_error_oo_mm2 as number) + (row.read_error_aa_mm2 as number);
            moves.push({ move, angles: [], slipRatio: SLIP_MM2 / trace });
        }
        moves.at(-1)!.angles.push({
            angle: responses.indexOf(row.response as string),
            residual: row.residual_deg as number,
            variance: row.noise_var_deg2 as number,
            loadings: loadingsOf(row),
        });
    }
    return moves;
}

/** How far the bearings of each kit stand off their marks. */
export const pointerErrors: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'kit')) {
        const moves = movesOf(group);
        const error = pointerError(moves.slice(0, MOST_MOVES), responses.length);
        yield {
            ...group.key,
            variance_ratio: Math.max(error.ratio, 1),
            conf_low_ratio: error.low,
            conf_high_ratio: error.high,
            move_count: moves.length,
            vehicle_count: new Set(group.values('vehicle')).size,
        };
    }
};

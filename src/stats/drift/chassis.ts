import { normalCdf } from '../normal.js';

/** Effect of a millimetre on an angle, with what is not known of it, in deg/mm and deg2/mm2; see table sensitivities. */
export interface Slope {
    out: number;
    aft: number;
    outVariance: number;
    aftVariance: number;
    covariance: number;
    /** Of a corner's slope about its chassis' slope, along any direction. */
    spread: number;
}

export interface Chassis {
    /** Of camber, caster, SAI and toe. */
    slopes: readonly [Slope, Slope, Slope, Slope];
    /** Degrees of toe per degree of camber when the bearing moves outboard, and its variance. */
    toeRatio: number;
    toeRatioVariance: number;
    /** Probability that toe falls, and rises, as camber rises; 0 under one in a million. */
    toeIn: number;
    toeOut: number;
}

const angles = ['camber_deg', 'caster_deg', 'sai_deg', 'toe_deg'];

function chassisOf(slopes: Chassis['slopes']): Chassis {
    const [camber, , , toe] = slopes;
    const toeRatio = toe.out / camber.out;
    const sd = Math.sqrt(toe.outVariance + toe.spread) / Math.abs(camber.out);
    const likely = (p: number) => (p > 1e-6 ? p : 0);
    return {
        slopes,
        toeRatio,
        toeRatioVariance: sd * sd,
        toeIn: likely(normalCdf(-toeRatio / sd)),
        toeOut: likely(normalCdf(toeRatio / sd)),
    };
}

/** The chassis of the rows of table sensitivities, by name. */
export function chassisByName(rows: readonly Readonly<Record<string, unknown>>[]): Map<string, Chassis> {
    const slopes = new Map<string, Slope[]>();
    for (const row of rows) {
        if (row.chassis === null) continue;
        const own = slopes.get(row.chassis as string) ?? [];
        slopes.set(row.chassis as string, own);
        own[angles.indexOf(row.response as string)] = {
            out: row.slope_out as number,
            aft: row.slope_aft as number,
            outVariance: row.var_out as number,
            aftVariance: row.var_aft as number,
            covariance: row.cov_out_aft as number,
            spread: row.spread_var as number,
        };
    }
    return new Map([...slopes].map(([name, own]) => [name, chassisOf(own as unknown as Chassis['slopes'])]));
}

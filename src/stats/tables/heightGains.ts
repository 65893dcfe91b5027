import { rateOf } from '../measurement/rate.js';
import { median } from '../slopes/median.js';
import { groupsBy, type TableFunction } from './batch.js';

/** What a millimetre of ride height does to an angle, by chassis. */
export const heightGains: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'chassis', 'response')) {
        const rows = [...group.rows()];
        const found = rateOf(
            rows.map((row) => ({
                gap: row.gap_deg as number,
                variance: row.gap_var as number,
                x: row.height_mm as number,
                cluster: row.cluster as number,
            })),
        );
        yield {
            ...group.key,
            gain_deg_per_mm: found?.rate ?? null,
            std_error_deg_per_mm: found?.standardError ?? null,
            change_count: found?.count ?? rows.length,
            noise_sd_deg: Math.sqrt(median(Float64Array.from(rows, ({ gap_var }) => gap_var as number))!),
        };
    }
};

import { z } from 'zod';
import { chassisCode, count, result } from './result.js';

export const shareRow = z.object({
    file: z.string(),
    site: z.string().describe('pseudonym of the site: the same in every share made with its key'),
    byte_count: count,
    vehicle_count: count.describe('cars, by pseudonym'),
    move_count: count.describe('moves, one per angle'),
    state_count: count.describe('newest states of front corners'),
    chassis: z.array(chassisCode).describe('platform codes that the file holds in clear'),
});

export type ShareRow = z.infer<typeof shareRow>;
export const shareResult = result('share', shareRow);

import { z } from 'zod';
import { count, estimate, result, textOrNull } from './result.js';

const worst = 'at the worst tolerances: the sum of the half widths taken off';
const statistical = 'root sum of squares of the half widths taken off';

/** One dry stack of a box on a shaft. */
export const stackRow = z.object({
    rank: z.int().min(1).describe('1 = best, within the kit and shaft'),
    parts: z.array(z.string()).describe('part ids from the seat upward, a part once for each piece'),
    clamped_length_mm: z.number().describe('seat to nut face'),
    shoulder_margin_mm: z.number().describe('clamped length less the length of the shoulder'),
    thread_engaged_mm: estimate.describe(
        'length of thread inside the nut; null without a nut of known height',
    ),
    clearance_mm: estimate.describe(
        'loaded mount over spring plate; null where the drop of the bearing is not given, or the bearing sits in the spring plate',
    ),
    sound: z.boolean().describe('every rule holds at the worst tolerances'),
    reason: z.string().describe('why it is sound or not'),
    missing: textOrNull.describe('what would make it sound; null where it is'),
    kit: z.string(),
    shaft: z.string(),
    shoulder_margin_low_mm: z.number().describe(worst),
    shoulder_margin_high_mm: z.number(),
    shoulder_margin_rss_low_mm: z.number().describe(statistical),
    shoulder_margin_rss_high_mm: z.number(),
    thread_shown_mm: estimate.describe('thread above the nut; below 0 the nut is not full of thread'),
    thread_shown_low_mm: estimate.describe(worst),
    thread_shown_rss_low_mm: estimate.describe(statistical),
    clearance_low_mm: estimate.describe(worst),
    clearance_rss_low_mm: estimate.describe(statistical),
    plate_to_bearing_mm: estimate.describe('height of the parts between spring plate and bearing'),
    spring_plate: z.enum(['kit', 'car']).describe("of the box, or the car's own"),
    bearing: z.enum(['stack', 'spring_plate']).describe('where the bearing of the mount sits'),
    box_stack_count: count.describe('such stacks that one box makes'),
    left_parts: z.array(z.string()).describe('part ids that stay in the box, a part once for each piece'),
});

/** What the SQL question `stacks` gives: the published row without its words, and what they are made from. */
export const measuredStackRow = stackRow.omit({ reason: true, missing: true }).extend({
    defects: z.array(z.object({ text: z.string(), lack: z.string() })),
    bearing_part: textOrNull,
    nut_part: textOrNull,
    margin_short_mm: z.number(),
    short_mm: z.number(),
    room_mm: z.number(),
    nut_height_mm: z.number(),
    drop_mm: z.number().nullable(),
    seat_diameter_mm: z.number(),
    min_shown_mm: z.number(),
    min_margin_mm: z.number(),
    wish_margin_low_mm: z.number(),
    wish_margin_high_mm: z.number(),
    min_clearance_mm: z.number(),
    spacer_tol_mm: z.number(),
    shoulder_length_mm: z.number(),
    thread_length_mm: z.number(),
});

export type StackRow = z.infer<typeof stackRow>;
export type MeasuredStackRow = z.infer<typeof measuredStackRow>;
export const stackResult = result('stack', stackRow);

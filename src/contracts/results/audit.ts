import { z } from 'zod';
import { count, estimate, probability, result, textOrNull } from './result.js';

export const groupings = ['technician', 'gauge', 'kit', 'chassis', 'month'] as const;
export const auditResponses = [
    'all',
    'camber_deg',
    'caster_deg',
    'toe_deg',
    'cross_camber_deg',
    'cross_caster_deg',
] as const;

const visitsOnly = 'response all only, else null';
const groupsOnly = 'null for the group all';
const monthsOnly = 'with --by month only, else null';

/** Settings against their targets, for one group and one angle, or for visits as a whole. */
export const auditRow = z.object({
    split_by: z.string().describe('what the groups are: overall, or the names given with --by'),
    group: z.string().describe('all, or the group; two names are joined by " / "'),
    response: z
        .enum(auditResponses)
        .describe('angle; cross_* = left minus right; all = the visit as a whole, every angle of both sides'),
    count: count.describe('settings judged; visits for response all'),
    in_count: count.describe('inside the tolerance by the decision rule, guard band taken off'),
    out_count: count.describe('outside by the decision rule, guard band added'),
    undecided_count: count.describe('too near to the limit to tell with this gauge'),
    hit_share: probability.describe(
        'hit_count / count: share inside the tolerance as read, without guard band',
    ),
    conf_low: probability.describe('95 % Wilson interval of hit_share, the car as cluster'),
    conf_high: probability.describe('95 % Wilson interval of hit_share, the car as cluster'),
    mean_error_deg: estimate.describe(
        'mean of reading minus wanted, misses at the end of the scale and those far off left out',
    ),
    sd_deg: estimate.describe('standard deviation of the same, divisor count - 1'),
    cp: estimate.describe(
        '2 tolerances / 6 sd, errors in tolerances, misses at the end of the scale and those far off left out',
    ),
    cpk: estimate.describe('distance of the mean to the nearer limit / 3 sd, likewise'),
    cpk_conf_low: estimate.describe('95 % interval, normal approximation of Bissell (1990)'),
    cpk_conf_high: estimate.describe('95 % interval, normal approximation of Bissell (1990)'),
    hit_count: count.describe('inside the tolerance as read'),
    car_count: count.describe('cars that they come from'),
    design_effect: estimate.describe(
        'settings that count as one independent one for hit_share: the sides and visits of one car are alike',
    ),
    end_of_scale_count: count.describe(
        'missed as read with the pointer at the end of its scale: the hardware ran out of travel (a visit: every miss of it)',
    ),
    far_off_count: count.describe(
        'missed by over 5 tolerances and 20 standard uncertainties with no scale end to blame: mistakes of writing, as a rule',
    ),
    gauge_sd_deg: estimate.describe('part of sd_deg that is the noise of the readings'),
    workmanship_sd_deg: estimate.describe('what is left of sd_deg without it'),
    workmanship_sd_low_deg: estimate.describe('95 % interval by chi-square'),
    workmanship_sd_high_deg: estimate.describe('95 % interval by chi-square'),
    cp_conf_low: estimate.describe('95 % interval by chi-square'),
    cp_conf_high: estimate.describe('95 % interval by chi-square'),
    share_truly_inside: probability.describe(
        'estimated share of true angles inside the tolerance: normal, noise of the readings taken away; misses at the end of the scale are outside',
    ),
    share_wrongly_inside: probability.describe(
        'expected share of the settings judged inside that are truly outside',
    ),
    edge_count: count.describe('errors in the outer quarter of the tolerance, 0.75 to 1'),
    before_edge_count: count.describe('errors in the quarter before it, 0.5 to 0.75'),
    p_edge_by_chance: probability.describe(
        'probability of so many in the outer quarter when errors do not get denser outward',
    ),
    came_count: count.describe(
        'settings that came from outside the tolerance and did not end at a scale end',
    ),
    short_share: estimate.describe(
        'how far those stop on the side from which they came, on average, in tolerances (each within -2 to 2)',
    ),
    short_conf_low: estimate.describe('95 % t interval of short_share'),
    short_conf_high: estimate.describe('95 % t interval of short_share'),
    p_short_by_chance: probability.describe('one-sided t test of short_share against 0'),
    shrunk_share: probability.describe(
        `share of hits drawn towards the mean of all groups, end-of-scale misses left out; ${groupsOnly}`,
    ),
    shrunk_conf_low: probability.describe('95 % interval of shrunk_share'),
    shrunk_conf_high: probability.describe('95 % interval of shrunk_share'),
    rank: z.int().min(1).nullable().describe(`place by shrunk_share, best first; ${groupsOnly}`),
    rank_low: z.int().min(1).nullable().describe('best place that the counts do not exclude (95 %)'),
    rank_high: z
        .int()
        .min(1)
        .nullable()
        .describe('worst such place; where it differs from rank_low the order is not supported'),
    chart_centre: probability.describe(`centre line of the p chart of misses; ${monthsOnly}`),
    chart_low: probability.describe(`lower limit of the p chart; ${monthsOnly}`),
    chart_high: probability.describe(`upper limit of the p chart; ${monthsOnly}`),
    first_count: count
        .nullable()
        .describe(`visits that were no come-back and whose time to come back has passed; ${visitsOnly}`),
    first_hit_count: count.nullable().describe(`of those, hit as read and not come back; ${visitsOnly}`),
    come_back_count: count.nullable().describe(`visits after which the car came back in time; ${visitsOnly}`),
    come_back_moved_count: count
        .nullable()
        .describe(`of those, the readings had moved by more than noise; ${visitsOnly}`),
    come_back_unmoved_count: count.nullable().describe(`of those, they had not; ${visitsOnly}`),
});

export type AuditRow = z.infer<typeof auditRow>;
export const auditResult = result('audit', auditRow);

/** A car to call back: `audit --cars`. */
export const callBackRow = z.object({
    vehicle: z.string(),
    chassis: z.string(),
    visit: z.string().describe('the newest that set the car to a target'),
    day: textOrNull.describe('of that visit, ISO 8601'),
    target: z.string(),
    corner: z.string().describe('FL, FR, or FL-FR for left minus right'),
    response: z.string().describe('angle that is furthest off'),
    error_deg: estimate.describe('reading minus wanted'),
    tol_deg: estimate,
    p_inside: probability.describe('that the true angle lies inside'),
    verdict: z.string(),
    what: z.string().describe('what to do, or what stands in the way'),
    other_count: count.describe('further angles of the visit that are off'),
    place: z.int().min(1).describe('worst first'),
});

export type CallBackRow = z.infer<typeof callBackRow>;
export const callBacksResult = result('audit', callBackRow);

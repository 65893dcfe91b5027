import {
    bigResolution,
    coincidingIndices,
    halfScale,
    impossibleSlot,
    reversedMarks,
} from '../errors/ruleMessages.js';
import { atMost, type RowRule } from './rowRule.js';

/** Offsets lie within 40 mm of the original place, so no slot can be used over more than this. */
const LONGEST_SLOT_MM = 80;
/** Bolt positions closer than this would be one. */
const LEAST_STEP_DEG = 1;
/** Indices of `index_count`. */
const MOST_INDICES = 12;

/** Sums of decimals, such as 3 * 26.7 mm, may come out a little over. */
const SLACK = 1e-6;

function slot(min: string, max: string): RowRule {
    return {
        columns: [max, min, 'mark_pitch_mm'],
        rule: `mark_pitch_mm * (${max} - ${min}) is at most ${LONGEST_SLOT_MM} mm`,
        sql: `{mark_pitch_mm} * ({${max}} - {${min}}) <= ${LONGEST_SLOT_MM + SLACK}`,
        reason: impossibleSlot(min, max, LONGEST_SLOT_MM),
    };
}

const apart = Array.from({ length: MOST_INDICES - 1 }, (_, k) => k + 1);

const indices: RowRule = {
    columns: ['index_step_deg', 'index_count'],
    rule: `all index_count positions, index_step_deg from each to the next, lie at least ${LEAST_STEP_DEG} deg apart`,
    sql: apart
        .map((k) => {
            const angle = `(abs(coalesce({index_step_deg}, 120)) * ${k}) % 360`;
            return `(coalesce({index_count}, 3) <= ${k} or (${angle} > ${LEAST_STEP_DEG - SLACK} and ${angle} < ${360 - LEAST_STEP_DEG + SLACK}))`;
        })
        .join(' and '),
    reason: coincidingIndices(),
};

const resolution: RowRule = {
    columns: ['mark_resolution', 'mark_min', 'mark_max'],
    rule: 'mark_resolution is no more than mark_max - mark_min, but where both are equal',
    sql: `({mark_max} <= {mark_min} or {mark_resolution} <= {mark_max} - {mark_min} + ${SLACK})`,
    reason: bigResolution(),
};

const secondScale: RowRule = {
    columns: ['mark2_min', 'mark2_max'],
    rule: 'mark2_min and mark2_max are both filled, or blank or 0',
    sql: '(({mark2_min} is null) = ({mark2_max} is null) or coalesce({mark2_min}, {mark2_max}) = 0)',
    reason: halfScale(),
};

/** What no kit can be, whatever its single values. */
export const kitRules: readonly RowRule[] = [
    atMost('mark_min', 'mark_max', reversedMarks('mark_min', 'mark_max')),
    atMost('mark2_min', 'mark2_max', reversedMarks('mark2_min', 'mark2_max')),
    secondScale,
    slot('mark_min', 'mark_max'),
    slot('mark2_min', 'mark2_max'),
    indices,
    resolution,
];

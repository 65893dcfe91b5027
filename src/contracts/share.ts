import { z } from 'zod';
import { choice, name, number, optional, pseudonym, ratio, whole } from './columns.js';
import { responses } from './results/result.js';
import { type Column, type TableContract, table } from './table.js';

/** Version of the shared file; merge reads no other. */
export const SHARE_VERSION = 4;

/** Most states or changes that one row may stand for. */
const MOST_COUNTED = 100_000_000;
const longest: [number, number] = [-1000, 1000];
const chassis = name('platform code, in clear: the field is pooled by it');
const anyChassis = optional(name('platform code, in clear; null = any'));
const vehicle = pseudonym(
    'pseudonym of the car: HMAC-SHA-256 of its name with the key of the site, first 128 bits',
);
const corner = choice('front corner', ['FL', 'FR']);
const response = choice('angle', responses);
const gaugeNumber = whole('number of the gauge within this file', [1, 1_000_000]);
const gauge = optional(whole('number of the gauge within this file; null = not named', [1, 1_000_000]));
const placeErrors = {
    read_error_oo_mm2: number('variance from reading the pointer, outboard', 'mm2', [0, 100_000]),
    read_error_oa_mm2: number('its covariance', 'mm2', [-100_000, 100_000]),
    read_error_aa_mm2: number('its variance rearward', 'mm2', [0, 100_000]),
};
const mean = (angle: string, range: [number, number]) =>
    optional(number(`${angle}, mean of the repeats`, 'deg', range));
const readCount = (angle: string) => whole(`readings in the mean of ${angle}`, [0, 1000]);
const direction = (what: string) => optional(ratio(what, [-1, 1]));
const rowNumber = whole(
    'number of the row among those of its kind, in the order of their values',
    [1, 1_000_000_000],
);
const goal = (what: string, range: [number, number]) => optional(number(what, 'deg', range));

/** The kinds of rows of a shared file. Every file has the columns of all kinds; those of other kinds are null. */
export const shareKinds: readonly TableContract[] = [
    table({
        kind: 'site',
        title: 'Who shares',
        grain: 'one row',
        key: [],
        schema: z.object({
            site: pseudonym('pseudonym of the site: HMAC-SHA-256 with its key, first 128 bits'),
        }),
    }),
    table({
        kind: 'chassis',
        title: 'Platforms of the readings',
        grain: 'one row per chassis',
        key: ['chassis'],
        schema: z.object({ chassis }),
    }),
    table({
        kind: 'pitch',
        title: 'Travel of one mark of the kits',
        grain: 'one row per chassis and pitch, without the name of the kit; slopes are compared with it to find marks written as mm',
        key: ['chassis', 'mark_pitch_mm'],
        schema: z.object({
            chassis: anyChassis,
            mark_pitch_mm: number('travel of one mark', 'mm', [0.01, 50]),
        }),
    }),
    table({
        kind: 'target',
        title: 'Targets by their angles',
        grain: 'one row per target and chassis, a number in place of the name of the target',
        key: ['target', 'chassis'],
        schema: z.object({
            target: whole('number of the target within this file', [1, 1_000_000]),
            chassis: anyChassis,
            goal_camber_deg: goal('wanted camber', [-12, 12]),
            camber_tol_deg: goal('plus or minus', [0, 12]),
            goal_caster_deg: goal('wanted caster', [-6, 20]),
            caster_tol_deg: goal('plus or minus', [0, 20]),
            goal_toe_deg: goal('wanted toe per wheel', [-6, 6]),
            cross_camber_deg: goal('wanted left minus right camber', [-6, 6]),
            cross_caster_deg: goal('wanted left minus right caster', [-6, 6]),
        }),
    }),
    table({
        kind: 'move',
        title: 'Moves of the bearing and what they did to an angle',
        grain: 'one row per pair of states of one corner in one visit, and angle; the visit is not named and the order is that of the values',
        key: ['number'],
        schema: z.object({
            vehicle,
            chassis,
            corner,
            response,
            move_out_mm: number('change of the bearing offset, outboard', 'mm', longest),
            move_aft_mm: number('change of the bearing offset, rearward', 'mm', longest),
            mid_out_mm: number('middle of the two offsets, outboard', 'mm', longest),
            mid_aft_mm: number('middle of the two offsets, rearward', 'mm', longest),
            change_deg: number('change of the angle, camber at equal toe', 'deg', [-60, 60]),
            open_toe_change_deg: optional(
                number(
                    'change of toe that change_deg does not take account of yet: caster was not read, so the caster of the pooled chassis is needed',
                    'deg',
                    [-12, 12],
                ),
            ),
            equal_toe: optional(
                choice('how camber was brought to equal toe; null for other angles', [
                    'measured',
                    'assumed',
                    'unknown',
                ]),
            ),
            kit_change: optional(
                whole(
                    'number of the change of kit within this site, whose names are not told; null = one kit',
                    [1, 1_000_000],
                ),
            ),
            weight: ratio('weight of the move: pairs of one visit share their information', [0, 1000]),
            ...placeErrors,
            number: rowNumber,
        }),
    }),
    table({
        kind: 'caster',
        title: 'Caster of front corners',
        grain: 'one row per chassis and value, without the car: the median of the pooled chassis stands in where caster was not read',
        key: ['chassis', 'caster_deg'],
        schema: z.object({
            chassis,
            caster_deg: number('caster, mean of the repeats', 'deg', [-6, 20]),
            state_count: whole('states that read it', [1, MOST_COUNTED]),
        }),
    }),
    table({
        kind: 'state',
        title: 'Newest state of front corners',
        grain: 'one row per car, front corner and newest state with a known offset and camber, caster or both: mostly one',
        key: ['vehicle', 'corner', 'newest_first'],
        atLeastOneOf: [['camber_deg', 'caster_deg']],
        schema: z.object({
            vehicle,
            chassis,
            corner,
            newest_first: whole('1 = the newest of these states of the corner', [1, 3]),
            offset_out_mm: number('bearing offset, outboard', 'mm', longest),
            offset_aft_mm: number('bearing offset, rearward', 'mm', longest),
            ...placeErrors,
            camber_deg: mean('camber', [-12, 12]),
            camber_count: readCount('camber'),
            caster_deg: mean('caster', [-6, 20]),
            caster_count: readCount('caster'),
            toe_deg: mean('toe per wheel', [-6, 6]),
            toe_count: readCount('toe'),
            gauge,
            end_1_out: direction(
                'the first pointer stands at an end of its scale: direction that leads beyond it, outboard part',
            ),
            end_1_aft: direction('its rearward part'),
            end_2_out: direction('the same of the second pointer, outboard part'),
            end_2_aft: direction('its rearward part'),
        }),
    }),
    table({
        kind: 'repeat',
        title: 'Readings of one state, repeated',
        grain: 'one row per reading of a state that one person read more than once with one gauge, without car, person and value: its distance from the median of those readings',
        key: ['number'],
        schema: z.object({
            gauge,
            response,
            cell: whole('number of the state within this file', [1, 1_000_000_000]),
            deviation_deg: number('reading minus median', 'deg', [-40, 40]),
            number: rowNumber,
        }),
    }),
    table({
        kind: 'display',
        title: 'Displays of the gauges',
        grain: 'one row per gauge and angle that it read',
        key: ['gauge', 'response'],
        schema: z.object({
            gauge,
            response,
            step_deg: number('step of the display; 0 = none that could be told', 'deg', [0, 2]),
        }),
    }),
    table({
        kind: 'session',
        title: 'Noise of the gauges from sessions',
        grain: 'one row per gauge with a name and angle with changes of corners that a session left alone',
        key: ['gauge', 'response'],
        schema: z.object({
            gauge: gaugeNumber,
            response,
            change_count: whole('changes', [1, MOST_COUNTED]),
            sd_deg: number('standard deviation of one reading', 'deg', [0, 60]),
        }),
    }),
    table({
        kind: 'change',
        title: 'Changes over a session, read with gauges without a name',
        grain: 'one row per corner, session and angle, without car and session: what noise such readings have is judged over all sites',
        key: ['cell', 'response'],
        schema: z.object({
            cell: whole('number of the corner and session within this file', [1, 1_000_000_000]),
            response,
            change_deg: number('after minus before', 'deg', [-60, 60]),
            before_count: whole('readings before', [1, 1000]),
            after_count: whole('readings after', [1, 1000]),
        }),
    }),
];

/** Columns of the file behind `kind`: each name once, in the order of the kinds. */
export const shareColumns: readonly Column[] = [
    ...new Map(shareKinds.flatMap(({ columns }) => columns.map((column) => [column.name, column]))).values(),
];

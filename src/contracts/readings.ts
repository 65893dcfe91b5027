import { z } from 'zod';
import { angleOfNoSweep } from '../errors/ruleMessages.js';
import { choice, moment, name, number, optional, text, whole } from './columns.js';
import { table } from './table.js';

export const readings = table({
    kind: 'readings',
    title: 'Alignment readings',
    grain: 'one row per corner per measured state',
    key: ['vehicle', 'corner', 'visit', 'phase', 'repeat'],
    atLeastOneOf: [['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg']],
    rules: [
        {
            columns: ['caster_sweep_deg', 'caster_method'],
            rule: 'where caster_sweep_deg is filled, caster_method is sweep or blank',
            sql: "({caster_sweep_deg} is null or {caster_method} <> 'direct')",
            reason: angleOfNoSweep(),
        },
    ],
    schema: z.object({
        vehicle: name('one car, any id that the owner uses'),
        chassis: name('platform code; slopes are fitted per chassis'),
        corner: choice('corner of the car', ['FL', 'FR', 'RL', 'RR']),
        measured_at: moment(
            'when; no zone given = local wall time, kept as written; among times with a zone, in the zone of the nearest one of the car',
        ),
        visit: name(
            'one visit to the workshop or one check in the paddock; only readings of one visit are compared directly',
        ),
        visit_kind: choice(
            'session: before = last check ahead of the running, after = first check behind it, nothing touched on purpose; check: nothing touched, readings repeated',
            ['install', 'adjust', 'session', 'check'],
        ),
        phase: choice('moved = plates moved, tie rods not yet touched', ['before', 'moved', 'after']),
        repeat: optional(whole('the n-th reading of the same state', [1, 1000]), 1),
        session: optional(name('the running that this visit encloses')),
        kit: optional(name('blank = original mount')),
        plate_hand: optional(
            choice("which of the mirrored pair sits here; blank = the corner's own side", ['left', 'right']),
        ),
        plate_index: optional(whole('which bolt position the plate is clocked in', [1, 12])),
        mark_1: optional(number("pointer position on the plate's first scale", 'marks', [-60, 60])),
        mark_2: optional(number("pointer position on the plate's second scale", 'marks', [-60, 60])),
        offset_out_mm: optional(
            number(
                "bearing centre outboard of the original mount's, measured in the vehicle frame; wins over marks",
                'mm',
                [-40, 40],
            ),
        ),
        offset_aft_mm: optional(
            number(
                "bearing centre rearward of the original mount's, measured in the vehicle frame; wins over marks",
                'mm',
                [-40, 40],
            ),
        ),
        camber_deg: optional(number('top of the wheel leans outboard: positive', 'deg', [-12, 12])),
        caster_deg: optional(number('top of the steering axis leans rearward: positive', 'deg', [-6, 20])),
        toe_deg: optional(number('per wheel; front of the wheel points inboard: positive', 'deg', [-6, 6])),
        sai_deg: optional(number('top of the steering axis leans inboard: positive', 'deg', [0, 30])),
        toe_reset: optional(
            choice(
                'tie rods were turned since the previous reading of this visit; blank: yes for an after of install or adjust, else no',
                ['yes', 'no'],
            ),
        ),
        ride_height_mm: optional(number('ride height', 'mm', [0, 1000])),
        tyre_kpa: optional(number('tyre pressure', 'kPa', [0, 1000])),
        driver_aboard: optional(
            choice('the driver, or ballast of that weight, sat in the car', ['yes', 'no']),
        ),
        fuel_l: optional(number('fuel in the tank', 'l', [0, 1000])),
        rolled: optional(
            choice(
                'the car was rolled, or settled on slip plates, since it was last lifted or its plates moved',
                ['yes', 'no'],
            ),
        ),
        bolts_tight: optional(choice('the bolts of the mount were tight', ['yes', 'no'])),
        place: optional(name('bay, floor or lift that the car stood on')),
        caster_method: optional(
            choice('caster was worked out from a steering sweep, or read directly off the steering axis', [
                'sweep',
                'direct',
            ]),
        ),
        caster_sweep_deg: optional(
            number('how far the wheel was steered either way for the caster sweep', 'deg', [1, 60]),
        ),
        remounted: optional(
            choice('gauge and clamps were taken off and put on again before this reading', ['yes', 'no']),
        ),
        gauge: optional(name('measuring equipment')),
        technician: optional(name('who measured')),
        target: optional(name('what an after was set to')),
        note: optional(text('free text')),
    }),
});

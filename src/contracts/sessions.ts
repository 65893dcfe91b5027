import { z } from 'zod';
import { lapsWithoutDistance } from '../errors/ruleMessages.js';
import { choice, moment, name, number, optional, text, whole } from './columns.js';
import { table } from './table.js';

export const sessions = table({
    kind: 'sessions',
    title: 'Running on track, road or gravel',
    grain: 'one row per vehicle and session',
    key: ['session', 'vehicle'],
    rules: [
        {
            columns: ['distance_km', 'laps'],
            rule: 'where laps is above 0, so is distance_km, or blank',
            sql: '({distance_km} > 0 or {laps} = 0)',
            reason: lapsWithoutDistance(),
        },
    ],
    schema: z.object({
        session: name('session id as the readings name it'),
        vehicle: name('car that ran'),
        started_at: optional(moment('when; no zone given = local wall time, kept as written')),
        surface: optional(choice('what it ran on', ['track', 'road', 'gravel'])),
        laps: optional(whole('laps driven', [0, 100_000])),
        distance_km: optional(number('distance driven', 'km', [0, 1_000_000])),
        hits: optional(whole('kerb strikes, contacts and potholes noticed', [0, 100_000])),
        air_c: optional(number('air temperature', 'degC', [-60, 70])),
        note: optional(text('free text')),
    }),
});

import { z } from 'zod';
import { noThread, pitchTooCoarse, toleranceTooWide } from '../errors/ruleMessages.js';
import { name, number, optional, text } from './columns.js';
import { atMost } from './rowRule.js';
import { table } from './table.js';

export const shafts = table({
    kind: 'shafts',
    title: 'Strut shafts',
    grain: 'one row per shaft',
    key: ['shaft'],
    rules: [
        atMost('thread_pitch_mm', 'seat_diameter_mm', pitchTooCoarse()),
        {
            columns: ['thread_length_mm', 'thread_pitch_mm'],
            rule: 'thread_length_mm is at least one thread_pitch_mm',
            sql: '{thread_length_mm} >= coalesce({thread_pitch_mm}, 1.5)',
            reason: noThread(),
        },
        ...['shoulder', 'thread'].map((part) =>
            atMost(
                `${part}_tol_mm`,
                `${part}_length_mm`,
                toleranceTooWide(`${part}_tol_mm`, `${part}_length_mm`),
            ),
        ),
    ],
    schema: z.object({
        shaft: name('shaft id'),
        seat_diameter_mm: number('diameter of the seat', 'mm', [1, 100]),
        shoulder_length_mm: number('seat face to the step where the thread begins', 'mm', [0, 500]),
        thread_length_mm: number('length of thread above the step', 'mm', [0, 500]),
        thread_pitch_mm: optional(number('pitch of the thread', 'mm', [0.2, 6]), 1.5),
        shoulder_tol_mm: optional(
            number('half width of the tolerance of shoulder_length_mm', 'mm', [0, 20]),
            0.1,
        ),
        thread_tol_mm: optional(
            number('half width of the tolerance of thread_length_mm', 'mm', [0, 20]),
            0.1,
        ),
        note: optional(text('free text')),
    }),
});

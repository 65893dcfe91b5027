import { z } from 'zod';
import { number, optional, text } from './columns.js';
import { table } from './table.js';

export const shafts = table({
    kind: 'shafts',
    title: 'Strut shafts',
    grain: 'one row per shaft',
    key: ['shaft'],
    schema: z.object({
        shaft: text('shaft id'),
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

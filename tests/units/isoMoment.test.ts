import { expect, test } from 'vitest';
import { type DateOrder, isoMoment } from '../../src/units/isoMoment.js';

// Forms of ISO 8601-1:2019, 4.3: date, and date with time and zone.
test.each<[string, DateOrder, string | null, string | null]>([
    ['03.04.2026', 'day-first', null, '2026-04-03'],
    ['3. 4. 2026', 'day-first', null, '2026-04-03'],
    ['03/04/2026', 'month-first', null, '2026-03-04'],
    ['2026/4/3', 'year-first', null, '2026-04-03'],
    ['3-4-26', 'day-first', null, '2026-04-03'],
    ['3.4.24 14:05', 'day-first', null, '2024-04-03T14:05'],
    ['3.4.24, 9.05 Uhr', 'day-first', null, '2024-04-03T09:05'],
    ['03/04/2026 12:30 am', 'month-first', null, '2026-03-04T00:30'],
    ['03/04/2026 12:30 PM', 'month-first', null, '2026-03-04T12:30'],
    ['03/04/2026 1:05:09 PM', 'month-first', null, '2026-03-04T13:05:09'],
    ['03.04.2026 14h05', 'day-first', null, '2026-04-03T14:05'],
    ['03.04.2026T14:05:06,5', 'day-first', null, '2026-04-03T14:05:06.5'],
    ['03.04.2026 14:05', 'day-first', '+02:00', '2026-04-03T14:05+02:00'],
    ['03.04.2026 14:05 Z', 'day-first', '+02:00', '2026-04-03T14:05Z'],
    ['03.04.2026', 'day-first', '+02:00', '2026-04-03'],
    ['03.04.026', 'day-first', null, null],
    ['2026.04.03', 'day-first', null, null],
    ['3. Mai 2026', 'day-first', null, null],
    ['03.04.2026 24:00', 'day-first', null, null],
    ['03.04.2026 13:00 pm', 'day-first', null, null],
    ['', 'day-first', null, null],
])('%s, %s, zone %s', (text, order, zone, iso) => {
    expect(isoMoment(text, order, zone)).toBe(iso);
});

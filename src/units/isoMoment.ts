export type DateOrder = 'day-first' | 'month-first' | 'year-first';

const places: Record<DateOrder, readonly ['year' | 'month' | 'day', string, string]> = {
    'day-first': ['day', 'month', 'year'],
    'month-first': ['month', 'day', 'year'],
    'year-first': ['year', 'month', 'day'],
};

const written = new RegExp(
    [
        String.raw`^(\d{1,4})(?:\. ?|[/ -])(\d{1,2})(?:\. ?|[/ -])(\d{1,4})\.?`,
        String.raw`(?:(?:[T,] ?| )(?<hour>\d{1,2})(?:[:.h](?<minute>\d\d))(?:[:.](?<second>\d\d)(?<part>[.,]\d+)?)?`,
        String.raw`(?: ?(?<half>am|pm))?(?: ?(?<zone>Z|[+-]\d\d:?\d\d))?(?: Uhr| h)?)?$`,
    ].join(''),
    'i',
);

const twoDigits = (value: number) => String(value).padStart(2, '0');

function fullYear(digits: string): string | null {
    if (digits.length === 4) return digits;
    return digits.length <= 2 ? `20${digits.padStart(2, '0')}` : null;
}

/** Hour of the day, of one with am or pm; null where there is none. */
function hourOfDay(hour: number, half: string | undefined): number | null {
    if (half === undefined) return hour < 24 ? hour : null;
    if (hour < 1 || hour > 12) return null;
    return (hour % 12) + (half.toLowerCase() === 'pm' ? 12 : 0);
}

/**
 * ISO 8601 of a date, or date and time, written with numbers in the given order: `3.4.24 14:05` day-first is
 * `2024-04-03T14:05`. Two digits of a year are 2000 to 2099. `zone` (`Z`, `+02:00`) is put behind a time that has none;
 * null = local wall time. Null where `text` is no such date; whether the day exists is not looked at.
 */
export function isoMoment(text: string, order: DateOrder, zone: string | null): string | null {
    const match = written.exec(text);
    if (match === null) return null;
    const parts = Object.fromEntries(places[order].map((part, i) => [part, match[i + 1]!]));
    const year = fullYear(parts.year!);
    if (year === null || parts.day!.length > 2 || parts.month!.length > 2) return null;
    const date = `${year}-${twoDigits(Number(parts.month))}-${twoDigits(Number(parts.day))}`;
    const { hour, minute, second, part = '', half, zone: ownZone } = match.groups!;
    if (hour === undefined) return date;
    const hours = hourOfDay(Number(hour), half);
    if (hours === null) return null;
    const seconds = second === undefined ? '' : `:${second}${part.replace(',', '.')}`;
    return `${date}T${twoDigits(hours)}:${minute}${seconds}${ownZone?.toUpperCase() ?? zone ?? ''}`;
}

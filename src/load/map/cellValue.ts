import type { z } from 'zod';
import type { ColumnSource } from '../../contracts/map.js';
import type { Column, TableContract } from '../../contracts/table.js';
import {
    blankCell,
    cellTooLong,
    controlCharacter,
    notAMoment,
    notAWord,
    notWhole,
    outOfRange,
    unseenCharacter,
} from '../../errors/loadMessages.js';
import { noSuchDate, noSuchDay, notOfForm } from '../../errors/mapMessages.js';
import { asciiSigns } from '../../units/asciiSigns.js';
import type { DecimalMark } from '../../units/decimalNumber.js';
import { isoMoment } from '../../units/isoMoment.js';
import { unseenCharacters } from '../../units/visibleText.js';
import { type Taken, Unfit } from './cellText.js';
import { numberReader } from './numberForms.js';

/** A value of one of our columns, blank as null. */
export type Value = string | number | null;

/** Turns the text that counts into our value; `corner` is that of the row, where it is known. */
type ValueReader = (taken: Taken, corner: Value) => Value | Unfit;

const unseenPattern = new RegExp(`[${unseenCharacters}]`, 'u');

const isoTime = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?$/;

function momentReader({ date, zone }: ColumnSource): (text: string) => string | null {
    const ownZone = zone === 'local' ? null : zone;
    if (date === 'iso') return (text) => (ownZone !== null && isoTime.test(text) ? text + ownZone : text);
    return (text) => isoMoment(text, date, ownZone);
}

function isFlipped(flip: ColumnSource['flip'], corner: Value): boolean {
    return typeof flip === 'boolean' ? flip : flip.some((one) => one === corner);
}

/** Reads text of theirs as a value of the type of `column`, without looking at its range. */
export function valueReader(column: Column, source: ColumnSource, mark: DecimalMark): ValueReader {
    if (source.constant !== undefined) {
        const isNumber = column.type === 'number' || column.type === 'integer';
        return ({ text }) => (isNumber ? Number(text) : text);
    }
    if (column.type === 'datetime') {
        const read = momentReader(source);
        return ({ text, at }) => read(text) ?? new Unfit(at, noSuchDate(text, source.date));
    }
    if (column.type === 'number' || column.type === 'integer') {
        const { read, example } = numberReader(column, source, mark);
        return ({ text, at }, corner) => {
            const value = read(asciiSigns(text));
            if (value === null) return new Unfit(at, notOfForm(text, example));
            return isFlipped(source.flip, corner) ? -value : value;
        };
    }
    return ({ text }) => text;
}

/** What is wrong with a value of the right type, by the type of its column. */
function faultOf(column: Column, value: string | number): string {
    if (column.type === 'choice') return notAWord(column.words);
    if (column.type === 'text') {
        if ([...String(value)].length > column.maxLength!) return cellTooLong(column.maxLength!);
        const [unseen] = unseenPattern.exec(String(value)) ?? [];
        if (column.pattern === null || unseen === undefined) return controlCharacter();
        const code = unseen.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0');
        return unseenCharacter().replace('{code}', `U+${code}`);
    }
    if (column.type === 'integer' && !Number.isInteger(value)) return notWhole();
    return outOfRange(column.min, column.max, column.unit);
}

/** Holds `value` against the contract; `taken` is what it was read from. */
export function checkedValue(
    contract: TableContract,
    column: Column,
    value: Value,
    { text, at }: Taken,
): Value | Unfit {
    if (value === null) return column.required ? new Unfit(at, blankCell()) : null;
    const schema = contract.schema.shape[column.name] as z.ZodType;
    if (schema.safeParse(value).success) return value;
    const shown = text.length > 40 ? `${text.slice(0, 40)}...` : text;
    if (column.type === 'datetime') {
        return new Unfit(
            at,
            String(value) === text ? notAMoment().replace('{value}', () => shown) : noSuchDay(shown),
        );
    }
    const read = String(value) === text ? `"${shown}"` : `"${shown}", read as ${column.name} ${value},`;
    return new Unfit(
        at,
        faultOf(column, value).replace('"{value}"', () => read),
    );
}

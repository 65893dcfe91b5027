import type { ColumnSource } from '../../contracts/map.js';
import type { Column } from '../../contracts/table.js';
import {
    arcminToDeg,
    barToKpa,
    cmToMm,
    inchesToMm,
    psiToKpa,
    radToDeg,
    ukGallonsToL,
    usGallonsToL,
} from '../../units/conversions.js';
import { type DecimalMark, decimalNumber } from '../../units/decimalNumber.js';
import { degMinToDeg } from '../../units/degMinToDeg.js';
import { dottedMinutesToDeg } from '../../units/dottedMinutesToDeg.js';
import { inchFraction } from '../../units/inchFraction.js';
import { toeMmToDeg } from '../../units/toeMmToDeg.js';

/** How the numbers of one unit are written, and what they are in the unit of our columns. */
interface NumberForm {
    /** What may stand behind the number. */
    suffix: RegExp;
    parse: (text: string, mark: DecimalMark) => number | null;
    toOurs: (value: number) => number;
    /** How it should look, for the message. */
    example: (mark: DecimalMark) => string;
}

const asIs = (value: number) => value;

function decimalForm(suffix: RegExp, toOurs = asIs): NumberForm {
    return { suffix, parse: decimalNumber, toOurs, example: (mark) => `a number such as -1${mark}5` };
}

const forms: Record<string, NumberForm> = {
    deg: decimalForm(/ ?(°|deg(rees?)?\.?)$/i),
    'deg-min': {
        suffix: /$/,
        parse: degMinToDeg,
        toOurs: asIs,
        example: () => "degrees and minutes such as -1°30', -1 30 or -1d30m, minutes below 60",
    },
    'deg-min-dotted': {
        suffix: / ?°$/,
        parse: dottedMinutesToDeg,
        toOurs: asIs,
        example: (mark) => `degrees and two digits of minutes below 60, such as -1${mark}30`,
    },
    arcmin: decimalForm(/ ?('|min\.?)$/i, arcminToDeg),
    rad: decimalForm(/ ?rad$/i, radToDeg),
    mm: decimalForm(/ ?mm$/i),
    cm: decimalForm(/ ?cm$/i, cmToMm),
    inch: {
        suffix: /$/,
        parse: inchFraction,
        toOurs: inchesToMm,
        example: (mark) => `inches such as 0${mark}125, 1/8 or 1 3/16`,
    },
    marks: decimalForm(/ ?marks?$/i),
    kPa: decimalForm(/ ?kpa$/i),
    bar: decimalForm(/ ?bar$/i, barToKpa),
    psi: decimalForm(/ ?psi$/i, psiToKpa),
    l: decimalForm(/ ?l(it(er|re)s?)?$/i),
    'gal-us': decimalForm(/ ?gal(lons?)?$/i, usGallonsToL),
    'gal-uk': decimalForm(/ ?gal(lons?)?$/i, ukGallonsToL),
};

const bare = decimalForm(/$/);

/** Reads the numbers of one column; the text has plain signs. Null where it is no number of that form. */
interface NumberReader {
    read: (text: string) => number | null;
    example: string;
}

/** How the cells behind `column` are read: unit, decimal mark, and for toe the share of one wheel, in millimetres the angle. */
export function numberReader(
    column: Column,
    { unit = column.unit ?? '', toe, diameter_mm }: ColumnSource,
    mark: DecimalMark,
): NumberReader {
    const { suffix, parse, toOurs, example } = forms[unit] ?? bare;
    const wheels = toe === 'total' ? 2 : 1;
    const isLength = column.unit === 'deg' && (unit === 'mm' || unit === 'inch');
    return {
        example: example(mark),
        read: (text) => {
            const value = parse(text.replace(suffix, ''), mark);
            if (value === null) return null;
            const ofWheel = toOurs(value) / wheels;
            return isLength ? toeMmToDeg(ofWheel, diameter_mm!) : ofWheel;
        },
    };
}

import { expect, test } from 'vitest';
import { check, checksOf, dataset } from '../../fixtures/reference/checks.js';
import { asciiSigns } from '../../src/units/asciiSigns.js';
import {
    arcminToDeg,
    barToKpa,
    cmToMm,
    degToRad,
    inchesToMm,
    psiToKpa,
    radToDeg,
    ukGallonsToL,
    usGallonsToL,
} from '../../src/units/conversions.js';
import { decimalNumber } from '../../src/units/decimalNumber.js';
import { degMinToDeg } from '../../src/units/degMinToDeg.js';
import { dottedMinutesToDeg } from '../../src/units/dottedMinutesToDeg.js';
import { inchFraction } from '../../src/units/inchFraction.js';
import { toeMmToDeg } from '../../src/units/toeMmToDeg.js';

// Source: checks unit.dm.*, which name 1 deg = 60 min; the id holds the text, such as -0_45.
test.each(checksOf('unit.dm.'))('degrees and minutes: $id', ({ id, value }) => {
    const [degrees, minutes] = id.slice('unit.dm.'.length).split('_') as [string, string];
    expect(degMinToDeg(`${degrees}°${minutes}'`, '.')).toBeCloseTo(value, 8);
    expect(degMinToDeg(`${degrees} ${minutes}`, '.')).toBeCloseTo(value, 8);
    expect(dottedMinutesToDeg(`${degrees}.${minutes}`)).toBeCloseTo(value, 8);
});

test.each([
    ["-1°30'", -1.5],
    ['-1 30', -1.5],
    ['-1d30m', -1.5],
    ['-1d 30m', -1.5],
    ['-1:30', -1.5],
    ['-1°30', -1.5],
    ['1°30\'30"', 1 + 30 / 60 + 30 / 3600],
    ['1:30:30', 1 + 30 / 60 + 30 / 3600],
    ["-0°30'", -0.5],
    ['-0 30', -0.5],
    ['-0:00:30', -30 / 3600],
    ["- 0° 30'", -0.5],
    ["+0°30'", 0.5],
    ["-45'", -0.75],
    ['-2', -2],
    ['-2°', -2],
    ["1°30.5'", 1 + 30.5 / 60],
    ['0', 0],
] as const)('degrees and minutes: %s', (text, value) => {
    expect(degMinToDeg(text, '.')).toBeCloseTo(value, 12);
});

test.each([
    "1°60'",
    '1 75',
    '1.5',
    '1,5',
    "1°-30'",
    '--1 30',
    '',
    'x',
    '1°30\'60"',
    '1 30.5 20',
    '30.5\'20"',
    '1 2 3 4',
    '°',
])('no degrees and minutes: %s', (text) => {
    expect(degMinToDeg(text, '.')).toBeNull();
});

test.each([
    ['1.30', 1.5],
    ['-0,45', -0.75],
    ['2', 2],
    ['1.3', null],
    ['1.60', null],
    ['1.305', null],
    ["1°30'", null],
])('minutes behind the mark: %s', (text, value) => {
    expect(dottedMinutesToDeg(text)).toBe(value);
});

test('signs of typography count as the plain ones, and a minus of zero degrees stays', () => {
    expect(asciiSigns('\u22121º30\u2032')).toBe("-1°30'");
    expect(degMinToDeg(asciiSigns(' –0°30′15″ '), '.')).toBeCloseTo(-(30 / 60 + 15 / 3600), 12);
});

test.each([
    ['1.5', '.', 1.5],
    ['-1,5', ',', -1.5],
    ['1e-04', '.', 0.0001],
    ['.5', '.', 0.5],
    ['- 2', '.', -2],
    ['1,5', '.', null],
    ['1.5', ',', null],
    ['1.234,5', ',', null],
    ['1_000', '.', null],
    ['0x10', '.', null],
    ['1e999', '.', null],
    ['Infinity', '.', null],
    ['', '.', null],
] as const)('decimal number %s with %s', (text, mark, value) => {
    expect(decimalNumber(text, mark)).toBe(value);
});

// Source: checks toe.mm.*: 1 mm over a rim of so many inches, toe_mm = D sin(toe).
test.each([15, 17, 20])('toe of 1 mm at %i inches', (inches) => {
    const { value, tolerance } = check(`toe.mm.${inches}`);
    expect(Math.abs(toeMmToDeg(1, inches * 25.4)! - value)).toBeLessThanOrEqual(tolerance);
    const minutes = check(`toe.min.${inches}`);
    expect(Math.abs(toeMmToDeg(1, inches * 25.4)! * 60 - minutes.value)).toBeLessThanOrEqual(
        minutes.tolerance,
    );
});

// Source: fixtures/reference/data/toe_mm_deg.csv, recomputed independently.
test('toe in mm, every row of the table', () => {
    const rows = dataset('toe_mm_deg');
    expect(rows.length).toBeGreaterThan(10);
    for (const row of rows) {
        const [mm, diameter] = [Number(row.toe_mm), Number(row.diameter_mm)];
        expect(toeMmToDeg(mm, diameter)).toBeCloseTo(Number(row.toe_deg_asin), 10);
        expect(toeMmToDeg(-mm, diameter)).toBeCloseTo(-Number(row.toe_deg_asin), 10);
        expect(diameter * Math.sin(degToRad(toeMmToDeg(mm, diameter)!))).toBeCloseTo(mm, 10);
    }
    expect(toeMmToDeg(401, 400)).toBeNull();
});

// Source: checks unit.deg and unit.min (SI Brochure, table 8, from memory).
test('degrees, minutes and radians', () => {
    expect(degToRad(1)).toBeCloseTo(check('unit.deg').value, 16);
    expect(degToRad(arcminToDeg(1))).toBeCloseTo(check('unit.min').value, 18);
    expect(radToDeg(Math.PI / 6)).toBeCloseTo(30, 12);
});

test.each([
    ['1/8', 0.125],
    ['-1 3/16', -(1 + 3 / 16)],
    ['1-1/2', 1.5],
    ['11/16', 11 / 16],
    ['10 13/16', 10 + 13 / 16],
    ['1½', 1.5],
    ['½', 0.5],
    ['-¾"', -0.75],
    ['0.125"', 0.125],
    ['+2 in', 2],
    ['-0 1/4', -0.25],
    ['3', 3],
    ['1/0', null],
    ['1/', null],
    ['1 2', null],
    ['1 2 3/4', null],
    ['', null],
    ['a', null],
] as const)('inches %s', (text, value) => {
    expect(inchFraction(text, '.')).toBe(value);
});

// Sources: 1 in = 25.4 mm exactly; 1 bar = 100 kPa; 1 psi = 6.894 757 kPa (NIST SP 811, from memory).
test('lengths and pressures', () => {
    expect(inchesToMm(1)).toBe(25.4);
    expect(inchesToMm(0.1)).toBe(2.54);
    expect(cmToMm(25.4)).toBe(254);
    expect(barToKpa(2.1)).toBe(210);
    expect(psiToKpa(1)).toBeCloseTo(6.894757, 6);
});

// Source: 1 gal (US) = 231 in3 and 1 gal (UK) = 4.546 09 l, exactly (NIST SP 811, appendix B.8, from memory).
test('volumes', () => {
    expect(usGallonsToL(1)).toBeCloseTo((231 * 25.4 * 25.4 * 25.4) / 1e6, 12);
    expect(ukGallonsToL(10)).toBeCloseTo(45.4609, 12);
});

import { expect, test } from 'vitest';
import { csvCells } from '../../src/load/csvCells.js';
import { headerWords } from '../../src/load/map/guess/headerWords.js';
import { decimalNumber } from '../../src/units/decimalNumber.js';
import { degMinToDeg } from '../../src/units/degMinToDeg.js';
import { inchFraction } from '../../src/units/inchFraction.js';
import { isoMoment } from '../../src/units/isoMoment.js';

const SIZE = 100_000;
const run = (text: string) => text.repeat(SIZE / text.length);

/** Long cells of one kind of character, with something at the end that fits no form. */
const cells = ['1', ' ', '1 ', '-', '.', '1.', '1/', '(', '( ', '°', "1'", ',', '\u00a0', '#', 'a'].flatMap(
    (piece) => [`${run(piece)}x`, `1${run(piece)}\u2028x`, `-${run(piece)}\nx`],
);

// Where the time grew with the square of the length, each of these cells would take a minute.
test('cells as long as a record may be are read in one go', () => {
    for (const cell of cells) {
        expect(decimalNumber(cell, '.')).toBeNull();
        expect(decimalNumber(cell, ',')).toBeNull();
        expect(degMinToDeg(cell, '.')).toBeNull();
        expect(inchFraction(cell, '.')).toBeNull();
        expect(isoMoment(cell, 'day-first', null)).toBeNull();
        expect(csvCells(`"${cell}", ${cell.replaceAll(/[\n,]/g, ' ')} `)).toHaveLength(2);
        expect(headerWords(cell.slice(0, 500), false).role).toBeNull();
    }
});

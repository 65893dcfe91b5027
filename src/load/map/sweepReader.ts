import type { ColumnSource } from '../../contracts/map.js';
import type { Column } from '../../contracts/table.js';
import { steerUnfit, sweepIncomplete, sweepWithoutStraight } from '../../errors/mapMessages.js';
import { asciiSigns } from '../../units/asciiSigns.js';
import { type DecimalMark, decimalNumber } from '../../units/decimalNumber.js';
import { sweepCaster } from '../../units/sweepCaster.js';
import { type Taken, Unfit } from './cellText.js';
import { type Value, valueReader } from './cellValue.js';

/** The cells of a sweep: camber with the steering turned left and right, and the angle of the wheel. */
interface SweepCells {
    left: Taken;
    right: Taken;
    steer: Taken | number;
}

/** What the row says besides: corner, and camber, toe and SAI straight ahead. */
export type RowValues = ReadonlyMap<string, Value>;

function steerAngle(steer: Taken | number, mark: DecimalMark): number | Unfit {
    if (typeof steer === 'number') return steer;
    const angle = decimalNumber(asciiSigns(steer.text).replace(/ ?°$/, ''), mark);
    if (angle === null || !(angle > 0 && angle < 90)) return new Unfit(steer.at, steerUnfit(steer.text));
    return angle;
}

/** Caster of a row from its sweep; null where both readings are blank. */
export function sweepReader(
    camber: Column,
    source: ColumnSource,
    mark: DecimalMark,
): (cells: SweepCells, row: RowValues) => Value | Unfit {
    const read = valueReader(camber, source, mark);
    return ({ left, right, steer }, row) => {
        if (left.text === '' && right.text === '') return null;
        const blank = [left, right].find(({ text }) => text === '');
        if (blank !== undefined) return new Unfit(blank.at, sweepIncomplete());
        const corner = row.get('corner') ?? null;
        const onLeft = read(left, corner);
        const onRight = read(right, corner);
        const steer_deg = steerAngle(steer, mark);
        for (const one of [onLeft, onRight, steer_deg]) if (one instanceof Unfit) return one;
        if (typeof onLeft !== 'number' || typeof onRight !== 'number')
            throw new TypeError('camber is a number');
        // With the steering turned left, a left wheel's front points outboard, a right one's inboard.
        const isLeft = String(corner).endsWith('L');
        const sweep = {
            camber_in_deg: isLeft ? onRight : onLeft,
            camber_out_deg: isLeft ? onLeft : onRight,
            steer_deg: steer_deg as number,
        };
        const sai_deg = row.get('sai_deg');
        if (typeof sai_deg === 'number') return sweepCaster(sweep, { sai_deg });
        const camber_deg = row.get('camber_deg');
        if (typeof camber_deg !== 'number') return new Unfit(left.at, sweepWithoutStraight());
        return sweepCaster(sweep, { camber_deg, toe_deg: Number(row.get('toe_deg') ?? 0) });
    };
}

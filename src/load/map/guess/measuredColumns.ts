import { asciiSigns } from '../../../units/asciiSigns.js';
import { decimalNumber } from '../../../units/decimalNumber.js';
import { degMinToDeg } from '../../../units/degMinToDeg.js';
import type { HeaderWords } from './headerWords.js';
import { ofThePlate } from './placeWords.js';
import type { SeenColumns } from './seenColumns.js';
import { type Answer, angleUnit, ask, camberSign, toeSign, usuallyPositive } from './valueGuess.js';
import type { GuessedColumn } from './yamlText.js';

/** The columns behind one of ours. */
interface Found {
    names: string[];
    words: HeaderWords;
    column: Answer;
}

/** What is one for all corners of a car. */
const ofTheCar = new Set(['fuel_l']);

/**
 * Where the file is wide, only columns that tell corner or phase: another would count for each of them. What tells of the
 * plate may go without a phase, as it is told of the last one.
 */
function found(seen: SeenColumns, name: string): Found | null {
    const template = seen.template(name);
    if (template !== undefined) {
        const names = template.members.map((member) => member.name);
        return { names, words: template.members[0]!, column: seen.takeAll(template) };
    }
    const isTold = !seen.isWide || ofTheCar.has(name) || (seen.isOfPhasesOnly && ofThePlate.has(name));
    const words = isTold ? seen.plain(name) : undefined;
    return words === undefined ? null : { names: [words.name], words, column: seen.take(words) };
}

/** Of which phase a cell is told that stands once for several. */
function onlyOf(seen: SeenColumns, name: string, { words }: Found): GuessedColumn['keys'] {
    const hasAfter = Object.values(seen.unfold.phase ?? {}).includes('after');
    if (!hasAfter || !ofThePlate.has(name) || words.spans.some(({ part }) => part === 'phase')) return [];
    if (name === 'kit') {
        return [
            [
                'only',
                ask('after if these are installs, on the original mount before; all if it was in before'),
            ],
        ];
    }
    return [['only', { value: 'after', comment: 'one cell for all phases: as it was left, it seems' }]];
}

/** A column that needs no more than its name, and of which phase it tells. */
export function simple(seen: SeenColumns, name: string): GuessedColumn | null {
    const one = found(seen, name);
    return one === null ? null : { name, keys: [['column', one.column], ...onlyOf(seen, name, one)] };
}

/** Whether toe is of the axle or of each wheel: from the name, else deduced where left and right differ. */
function toeOf(seen: SeenColumns, { names, words }: Found): Answer {
    if (words.toe !== null) return { value: words.toe, comment: 'from the column name' };
    const isPerWheel = words.spans.some(({ part }) => part === 'corner' || part === 'side');
    const contents = new Set(names.map((name) => seen.cellsOf(name).join('\n')));
    if (isPerWheel && contents.size > 1) {
        return { value: 'wheel', comment: 'left and right differ, which total toe cannot' };
    }
    return ask('total if it is that of the axle (it is halved), wheel if of each wheel');
}

function signOf(seen: SeenColumns, name: string, texts: readonly string[], unit: string): Answer {
    if (name === 'toe_deg') return toeSign();
    const values = texts.map((text) => {
        const minutes = unit === 'deg-min' ? degMinToDeg(text, seen.mark) : null;
        return minutes ?? decimalNumber(text.replace(/ ?°$/, ''), seen.mark) ?? 0;
    });
    return name === 'camber_deg' ? camberSign(values) : usuallyPositive(values);
}

/** Camber, caster, toe or SAI. */
export function angle(seen: SeenColumns, name: string): GuessedColumn | null {
    const one = found(seen, name);
    if (one === null) return null;
    const texts = seen.textsOf(one.names).map(asciiSigns);
    const isToe = name === 'toe_deg';
    const unit = angleUnit(texts, one.words.unit, seen.mark, isToe, seen.maybeMinutes);
    const keys: GuessedColumn['keys'] = [
        ['column', one.column],
        ['unit', unit],
    ];
    if (isToe) keys.push(['toe', toeOf(seen, one)]);
    if (unit.value === 'mm' || unit.value === 'inch') {
        keys.push(['diameter_mm', ask('distance of the two measuring points, mm (16 inches are 406.4)')]);
    }
    keys.push(['flip', signOf(seen, name, texts, unit.value)]);
    return { name, keys };
}

/** A length, pressure or volume; its unit is one of `units`, as the name tells or asked for. */
export function quantity(seen: SeenColumns, name: string, units: readonly string[]): GuessedColumn | null {
    const one = found(seen, name);
    if (one === null) return null;
    const { unit } = one.words;
    const [example = ''] = seen.textsOf(one.names);
    const isKnown = unit !== null && units.includes(unit);
    const answer = isKnown
        ? { value: unit, comment: 'from the column name' }
        : ask(`${example}: ${units.join(', ')}`);
    const keys: GuessedColumn['keys'] = [
        ['column', one.column],
        ['unit', answer],
    ];
    if (name.startsWith('offset')) {
        keys.push(...onlyOf(seen, name, one));
        keys.push(['flip', ask('false if positive means outboard or rearward here, true if the other way')]);
    }
    return { name, keys };
}

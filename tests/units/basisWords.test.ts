import { expect, test } from 'vitest';
import { type Basis, basedAngles, basisWords } from '../../src/units/basisWords.js';
import { equalToeWords } from '../../src/units/equalToeWords.js';

const bases: readonly Basis[] = ['own', 'others', 'geometry', 'flagged'];

test('an angle is named with the reason that holds for it, and with no other', () => {
    for (const camber_basis of bases) {
        for (const caster_basis of bases) {
            const words = basisWords(basedAngles({ chassis: 'X', camber_basis, caster_basis }));
            const of = (angle: string) => words.filter((one) => one.includes(angle));
            for (const [angle, basis] of [
                ['camber', camber_basis],
                ['caster', caster_basis],
            ] as const) {
                expect(of(angle)).toHaveLength(basis === 'own' ? 0 : 1);
                const [one = ''] = of(angle);
                expect(one.startsWith('no move of X')).toBe(basis === 'others' || basis === 'geometry');
                expect(one.includes('so the other chassis')).toBe(basis === 'others');
                expect(one.includes('geometry alone')).toBe(basis === 'geometry');
                expect(one.includes('implausible')).toBe(basis === 'flagged');
            }
        }
    }
});

test('chassis with one reason share a sentence', () => {
    const row = { camber_basis: 'own', caster_basis: 'geometry' } as const;
    expect(basisWords(['A', 'B'].flatMap((chassis) => basedAngles({ chassis, ...row })))).toEqual([
        'no move of A, B or any other chassis tells what a millimetre does to caster, so geometry alone has to',
    ]);
});

test('what equal toe lacks is toe or caster, each with its count', () => {
    const words = (unequal_toe_count: number, no_caster_count: number) =>
        equalToeWords({ unequal_toe_count, no_caster_count }).join(' ');
    expect(words(0, 0)).toBe('');
    expect(words(3, 0)).toMatch(/^3 camber changes .*Read toe with camber\.$/);
    expect(words(3, 3)).toMatch(/^3 camber changes .*without caster.*Read caster with camber\.$/);
    expect(words(3, 1)).toMatch(/^2 camber changes .*Read toe.* 1 camber change was .*Read caster/);
});

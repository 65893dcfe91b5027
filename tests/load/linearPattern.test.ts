import fc from 'fast-check';
import { expect, test } from 'vitest';
import { linearPattern, UnsupportedPattern } from '../../src/load/map/linearPattern.js';

const atoms = [
    'a', 'b', ' ', '.', '\\s', '\\S', '\\d', '\\w', '\\b', '[ab]', '[^a\\s]', '[\\S]', '[\\s,-]', '[^\\S]', '[]', '[^]', '[.[]',
    '[\\]\\s]', '\\.',
    '\\u00e4', '\\u{1f600}', '\\ud83d\\ude00', '[\\u00e0-\\u00ff]', '\\x61', '\\t', '\\0', '[\\b]', '\\cI', '\\p{Lu}', '\\P{L}',
    '[\\p{L}\\d]', '\\p{Script=Greek}', '\\/', '\\$', '^', '$',
]; // biome-ignore format: one a kind
const pieces = [
    'a',
    'b',
    'A',
    '1',
    ' ',
    '\t',
    '\n',
    '\r',
    '\u00a0',
    '\u2028',
    '\u3000',
    '\ufeff',
    'ä',
    'λ',
    '😀',
    '.',
    '/',
    '$',
    ',',
    '[',
    '\0',
    '\b',
];

const { atom, whole } = fc.letrec<{ atom: string; whole: string }>((tie) => ({
    atom: fc.oneof(
        { maxDepth: 3, withCrossShrink: true },
        fc.constantFrom(...atoms),
        tie('whole').map((inner) => `(?:${inner})`),
        fc
            .tuple(
                fc.constantFrom(...atoms.filter((one) => !/^(\^|\$|\\b)$/.test(one))),
                fc.constantFrom('*', '+', '?', '*?', '{1,3}'),
            )
            .map((both) => both.join('')),
    ),
    whole: fc.oneof(
        { maxDepth: 3 },
        fc.array(tie('atom'), { minLength: 1, maxLength: 4 }).map((all) => all.join('')),
        fc.tuple(tie('atom'), tie('atom')).map((both) => both.join('|')),
    ),
}));

test('finds what an engine with backtracking finds', () => {
    const text = fc.array(fc.constantFrom(...pieces), { maxLength: 8 }).map((all) => all.join(''));
    fc.assert(
        fc.property(whole, atom, text, (first, second, searched) => {
            const pattern = `(?:${first})(?<part>${second})`;
            const expected = new RegExp(pattern, 'u').exec(searched);
            const found = linearPattern(pattern).exec(searched);
            expect(found?.[0], `${pattern} in ${JSON.stringify(searched)}`).toBe(expected?.[0]);
            expect(found?.groups?.part).toBe(expected?.groups?.part);
            expect(linearPattern(pattern).test(searched)).toBe(expected !== null);
        }),
        { seed: 18, numRuns: 300 },
    );
});

test.each(['(?=a)', '(?!a)', '(?<=a)b', '(?<!a)b', '(a)\\1', '(?<n>a)\\k<n>', 'a{1001}', '\\p{Letter}'])(
    '%s is refused',
    (pattern) => {
        expect(() => linearPattern(pattern)).toThrow(UnsupportedPattern);
    },
);

test('the time grows with the text alone', () => {
    // With backtracking, each of these would outlast the sun.
    const text = `${'a'.repeat(2000)}!`;
    for (const pattern of [
        '^(?<visit>(\\w+\\s?)*)$',
        '^(a|aa)+$',
        '^(a|a?)+$',
        '(x+x+)+y|^(.*)*b$',
        '^(([a-z])+.)+[A-Z]([a-z])+$',
    ]) {
        expect(linearPattern(pattern).test(text), pattern).toBe(false);
    }
});

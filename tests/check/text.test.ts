import { expect, test } from 'vitest';
import { checkText } from '../../src/cli/checkText.js';
import type { CheckRow } from '../../src/contracts/results/check.js';
import { checkSummary } from '../../src/errors/messages.js';
import { programName } from '../../src/errors/programName.js';
import type { CheckGroup } from '../../src/model/check.js';

const row = (line: number, change: Partial<CheckRow> = {}): CheckRow => ({
    check: 'lost_sign',
    chassis: 'X',
    vehicle: 'car 1',
    corner: 'FL',
    visit: 'v1',
    finding: 'camber 2.06',
    likely: 'the minus sign was lost',
    mend: 'correct it',
    p_mistake: 0.81,
    explained_by: null,
    file: 'a.csv',
    line,
    ...change,
});
const group = (rows: CheckRow[]): CheckGroup => ({
    check: {
        name: 'lost_sign',
        title: 'Camber',
        likely: 'the minus sign was lost',
        mend: 'correct it',
        explains: [],
        query: '',
        isComputed: false,
        givenWhole: [],
    },
    rows,
});
// biome-ignore lint/suspicious/noControlCharactersInRegex: colours of a terminal
const plain = (text: string) => text.replace(/\u001b\[\d+m/g, '').split('\n');
const usual = { all: false, quiet: false };

test('a finding says where, how sure and what, its check what it means and how to mend it', () => {
    expect(plain(checkText([group([row(7)])], usual))).toEqual([
        'Camber (1) lost_sign',
        '  car 1 FL, visit "v1", a.csv line 7 - 81 % sure',
        '      camber 2.06',
        '  Likely: the minus sign was lost.',
        '  To mend: correct it.',
    ]);
    expect(plain(checkText([group([row(7)])], { all: false, quiet: true }))).toHaveLength(3);
});

test('five of a kind are listed and the way to the rest is shown; what is explained or likelier chance is left out', () => {
    const rows = [
        ...[1, 2, 3, 4, 5, 6, 7].map((n) => row(n)),
        row(8, { explained_by: 'minutes' }),
        row(9, { p_mistake: 0.2 }),
    ];
    const lines = plain(checkText([group(rows)], usual));
    expect(lines[0]).toBe('Camber (7) lost_sign');
    expect(lines).toContain(`  and 2 more: ${programName()} check --only lost_sign --all`);
    expect(lines.filter((line) => line.includes('a.csv line'))).toHaveLength(5);
    const all = plain(checkText([group(rows)], { all: true, quiet: false }));
    expect(all.filter((line) => line.includes('a.csv line'))).toHaveLength(9);
    expect(all.some((line) => line.endsWith('line 8 - 81 % sure (see minutes)'))).toBe(true);
    expect(checkText([group([row(8, { explained_by: 'minutes' })])], usual)).toBe('');
});

test('a finding about a chassis or a file has no car; what cannot be told has no number; names cannot steer the terminal', () => {
    const none = { vehicle: null, corner: null, visit: null };
    expect(plain(checkText([group([row(3, none)])], usual))[1]).toBe('  chassis X, a.csv line 3 - 81 % sure');
    expect(plain(checkText([group([row(3, { ...none, chassis: null })])], usual))[1]).toBe(
        '  a.csv line 3 - 81 % sure',
    );
    expect(plain(checkText([group([row(3, { p_mistake: null })])], usual))[1]).toBe(
        '  car 1 FL, visit "v1", a.csv line 3',
    );
    expect(plain(checkText([group([row(3, { p_mistake: 1 })])], usual))[1]).toContain('over 99 % sure');
    expect(checkText([group([row(3, { visit: 'v\u001b]0;x' })])], usual)).toContain('v\\x1b]0;x');
});

test('the summary counts what is listed and what is not', () => {
    expect(checkSummary({ mistakes: 0, remarks: 0, explained: 0, chance: 0 })).toEqual([
        'Nothing looks like a mistake.',
    ]);
    const notes = checkSummary({ mistakes: 1, remarks: 2, explained: 3, chance: 1 });
    expect(notes).toHaveLength(4);
    expect(notes[0]).toMatch(/^1 row looks like a mistake\./);
    expect(notes[1]).toMatch(/^2 rows may be right/);
});

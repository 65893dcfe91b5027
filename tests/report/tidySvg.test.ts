import { expect, test } from 'vitest';
import { tidySvg } from '../../src/report/chart/tidySvg.js';

const group = (inner: string) => `<g class="mark-symbol role-mark">${inner}</g>`;

test('attributes that all leaves share stand once at the group, others stay', () => {
    const leaves = '<line x2="1" stroke="red" stroke-width="1"/><line x2="2" stroke="red" stroke-width="2"/>';
    expect(tidySvg(group(leaves))).toBe(
        '<g class="mark-symbol role-mark" stroke="red"><line x2="1" stroke-width="1"/><line x2="2" stroke-width="2"/></g>',
    );
});

test('an attribute that one leaf lacks, or whose value only begins alike, is not shared', () => {
    const leaves =
        '<text font-size="1">a</text><text font-size="11" fill="x">b</text><text font-size="1">c</text>';
    expect(tidySvg(group(leaves))).toBe(group(leaves));
});

test('a round symbol becomes a circle, numbers keep two decimals, what is not shown goes', () => {
    const symbol =
        '<path transform="translate(10.123456,-2)" d="M3,0A3,3,0,1,1,-3,0A3,3,0,1,1,3,0" fill="red" opacity="1"/>';
    expect(tidySvg(group(`${symbol}<path class="foreground" d="" display="none"/>`))).toBe(
        '<g class="mark-symbol role-mark" fill="red"><circle cx="10.12" cy="-2" r="3"/></g>',
    );
});

test('text that people wrote stays as it is', () => {
    const text = '<text fill="x">A 1.23456 opacity="1" version="1.1"</text>';
    expect(tidySvg(group(text))).toContain('>A 1.23456 opacity="1" version="1.1"<');
});

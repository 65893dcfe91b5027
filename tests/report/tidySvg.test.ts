import { describe, expect, test } from 'vitest';
import { strokeData, strokesOf } from '../../src/report/chart/svgPath.js';
import { tidySvg } from '../../src/report/chart/tidySvg.js';

const group = (inner: string, kind = 'symbol') =>
    `<g class="mark-${kind} role-mark layer_1_marks">${inner}</g>`;
const disc = (x: number, looks: string) =>
    `<path transform="translate(${x},-2)" d="M3,0A3,3,0,1,1,-3,0A3,3,0,1,1,3,0" ${looks}/>`;

describe('marks', () => {
    test('those that look alike become one path, what they share stands once at the group', () => {
        const lines = [1, 2, 3].map(
            (x) =>
                `<line transform="translate(${x},0)" x2="0" y2="5" stroke="red" stroke-width="${x === 3 ? 2 : 1}" opacity="1"/>`,
        );
        expect(tidySvg(group(lines.join(''), 'rule'))).toBe(
            '<g class="role-mark" stroke="red"><path d="M1,0v5M2,0v5" stroke-width="1"/><path d="M3,0v5" stroke-width="2"/></g>',
        );
    });

    test('the lines of a text move with it', () => {
        const text =
            '<text transform="translate(-6,20)"><tspan>a</tspan><tspan x="0" dy="12">b</tspan></text><text>c</text>';
        expect(tidySvg(group(text, 'text'))).toBe(
            '<g class="role-mark"><text x="-6" y="20"><tspan>a</tspan><tspan x="-6" dy="12">b</tspan></text><text x="0" y="0">c</text></g>',
        );
    });

    test('an attribute that one leaf lacks, or whose value only begins alike, is not shared', () => {
        const texts =
            '<text transform="translate(1,2)" font-size="1">a</text><text transform="rotate(3)" font-size="11" fill="x">b</text>';
        expect(tidySvg(group(texts, 'text'))).toBe(
            '<g class="role-mark"><text x="1" y="2" font-size="1">a</text><text transform="rotate(3)" font-size="11" fill="x">b</text></g>',
        );
    });

    test('a filled disc is a dot as wide as disc and edge, a ring a circle; a turned mark stays as it is', () => {
        expect(
            tidySvg(group(disc(10.123456, 'fill="red" stroke="red" stroke-width="1.5" opacity="1"'))),
        ).toBe(
            '<g class="role-mark"><path d="M10.1,-2h0" stroke="red" stroke-width="7.5" stroke-linecap="round"/></g>',
        );
        expect(tidySvg(group(disc(10.123456, 'fill="red"') + disc(1, 'fill="red"')))).toBe(
            '<g class="role-mark"><path d="M10.1,-2h0M1,-2h0" stroke="red" stroke-width="6" stroke-linecap="round"/></g>',
        );
        expect(tidySvg(group(disc(10.123456, 'stroke="red"')))).toBe(
            '<g class="role-mark"><circle cx="10.1" cy="-2" r="3" stroke="red"/></g>',
        );
        expect(tidySvg(group(disc(1, 'fill="red" stroke="blue"')))).toContain('<circle');
        const turned = '<path transform="translate(1,2) rotate(90)" d="M0,0L1,1Z" fill="red"/>';
        expect(tidySvg(group(turned))).toBe(`<g class="role-mark">${turned}</g>`);
    });

    test('areas that darken each other stay apart, symbols and full colours do not; equal ones are drawn once', () => {
        const area = (opacity: string) =>
            `<path d="M0,0h4v4h-4Z" fill="red"${opacity}/><path d="M2,2h4v4h-4Z" fill="red"${opacity}/>`;
        const count = (svg: string) => svg.match(/<path/g)!.length;
        expect(count(tidySvg(group(area(' opacity="0.2"'), 'rect')))).toBe(2);
        expect(count(tidySvg(group(area(' opacity="0.2"'))))).toBe(1);
        expect(count(tidySvg(group(area(''), 'rect')))).toBe(1);
        const line = '<path d="M0,0L4,1" stroke="red"/>';
        expect(tidySvg(group(line + line, 'line'))).toContain('d="M0,0l4 1"');
    });
});

test('what is not shown goes, wrappers go, one font stands at the root', () => {
    const svg =
        '<svg class="marks" xmlns="http://www.w3.org/2000/svg" version="1.1" viewBox="0 0 9 9"><g role="graphics-document" aria-roledescription="x"><g transform="translate(0,0)"><path class="background" d="M0,0h9v9h-9Z"/><g transform="translate(0.5,0.5)"><g><g class="mark-text role-axis-label" pointer-events="none"><text transform="translate(1.2345,2)" font-family="f" font-size="11px" fill="x" opacity="1">a</text><text opacity="0">b</text></g></g></g><path class="foreground" d="" display="none"/></g></g></svg>';
    expect(tidySvg(svg)).toBe(
        '<svg class="marks" viewBox="0 0 9 9" font-family="f" font-size="11px"><g transform="translate(0.5,0.5)"><text x="1.23" y="2" fill="x">a</text></g></svg>',
    );
});

test('ids and clips stay', () => {
    const svg =
        '<svg><defs><clipPath id="clip0"><rect x="0" y="0" width="9" height="9"/></clipPath></defs><g class="mark-line role-mark" clip-path="url(#clip0)"><path d="M0,0L1,2" stroke="x"/></g></svg>';
    expect(tidySvg(svg)).toBe(svg.replace('mark-line ', '').replace('M0,0L1,2', 'M0,0l1 2'));
});

test('text that people wrote stays as it is', () => {
    const text = '<text fill="x">A 1.23456 opacity="1" version="1.1" &lt;g&gt;</text>';
    expect(tidySvg(group(text, 'text'))).toContain('>A 1.23456 opacity="1" version="1.1" &lt;g&gt;<');
});

describe('paths', () => {
    const again = (d: string, shift: [number, number] = [0, 0]) =>
        strokesOf(d)!
            .map((stroke) => strokeData(stroke, shift))
            .join('');

    test('tenths of a pixel, relative, without points that change nothing', () => {
        expect(again('M0,180L5.4,180L10.81,180L16.21,171.02')).toBe('M0,180h10.8l5.4-9');
        expect(again('M1,1L1,4L1,2')).toBe('M1,1v3v-2'.replace('v-2', '-2'));
        expect(again('M-1,-1h2v2h-2Z', [0.25, 10])).toBe('M-.7,9h2v2h-2Z');
        expect(again('M0,0L.04,.04L1,1')).toBe('M0,0l1 1');
    });

    test('each point is rounded by itself: errors do not add up', () => {
        const d = `M0,0${Array.from({ length: 100 }, (_, step) => `L${step + 1},${0.13 * (step + 1) + (step % 2) * 3}`).join('')}`;
        const ends = again(d)
            .match(/-?\d*\.?\d+/g)!
            .map(Number);
        let y = 0;
        for (let place = 3; place < ends.length; place += 2) y += ends[place]!;
        expect(y).toBeCloseTo(13 + 3, 9);
    });

    test('a path with another command is left alone', () => {
        expect(strokesOf('M0,0C1,1,2,2,3,3')).toBeNull();
    });
});

import { RE2JS } from 're2js';

/** White space and line ends as ECMAScript has them (`\s` and what `.` leaves out), inside a class of RE2. */
const space = String.raw`\t-\r \x{a0}\x{1680}\x{2000}-\x{200a}\x{2028}\x{2029}\x{202f}\x{205f}\x{3000}\x{feff}`;
const notSpace = String.raw`\x{0}-\x{8}\x{e}-\x{1f}!-\x{9f}\x{a1}-\x{167f}\x{1681}-\x{1fff}\x{200b}-\x{2027}\x{202a}-\x{202e}\x{2030}-\x{205e}\x{2060}-\x{2fff}\x{3001}-\x{fefe}\x{ff00}-\x{10ffff}`;
const lineEnd = String.raw`\n\r\x{2028}\x{2029}`;

const inClass: Record<string, string> = {
    '\\s': space,
    '\\S': notSpace,
    '[': '\\[',
    '[]': '\\[]',
    '[^]': '\\[^]',
};
const outside: Record<string, string> = {
    '\\s': `[${space}]`,
    '\\S': `[^${space}]`,
    '.': `[^${lineEnd}]`,
    '[]': '[^\\x{0}-\\x{10ffff}]',
    '[^]': '[\\x{0}-\\x{10ffff}]',
};

/** One element of a pattern with flag u: an escape, an empty class, a character. */
const element =
    /\\u\{([0-9a-f]+)\}|\\u(d[89ab][0-9a-f]{2})\\u(d[c-f][0-9a-f]{2})|\\u([0-9a-f]{4})|\\c([a-z])|\\0|\\p\{(?:Script|sc|General_Category|gc)=|\\.|\[\^?\]|./gisu;

function codeOf(hexes: readonly (string | undefined)[]): string | null {
    const [point, high, low, unit, control] = hexes;
    if (point !== undefined || unit !== undefined) return (point ?? unit)!;
    if (high !== undefined)
        return String.fromCharCode(Number(`0x${high}`), Number(`0x${low}`))
            .codePointAt(0)!
            .toString(16);
    return control === undefined ? null : (control.charCodeAt(0) % 32).toString(16);
}

/** A pattern of ECMAScript (flag u) as RE2 writes it; what RE2 lacks is left as it is. */
function asRe2(pattern: string): string {
    let isInClass = false;
    return pattern.replace(element, (text, ...groups) => {
        const code = codeOf(groups.slice(0, 5));
        if (code !== null) return `\\x{${code}}`;
        if (text === '\\0') return '\\x{0}';
        if (text === '\\b' && isInClass) return '\\x{8}';
        if (/^\\p\{./is.test(text)) return text.slice(0, 3);
        const meant = (isInClass ? inClass : outside)[text] ?? text;
        if (text === '[') isInClass = true;
        else if (text !== '\\]' && text.endsWith(']')) isInClass = false;
        return meant;
    });
}

/** A regular expression that an engine without backtracking cannot run. */
export class UnsupportedPattern extends SyntaxError {}

/**
 * Compiles a regular expression of ECMAScript (flag u) for RE2, which searches in time that grows with the text, not with what the
 * expression makes of it. Throws a SyntaxError where it is none, an {@link UnsupportedPattern} where RE2 lacks what it uses:
 * look-around, back-references, repeats of more than 1,000.
 */
export function linearPattern(pattern: string): Pick<RegExp, 'test' | 'exec'> {
    new RegExp(pattern, 'u');
    try {
        return RE2JS.compile(asRe2(pattern)) as unknown as RegExp;
    } catch (error) {
        throw new UnsupportedPattern((error as Error).message.replace(/^error parsing regexp: /, ''));
    }
}

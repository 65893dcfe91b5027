import type { FileText } from './fileText.js';
import type { Layout } from './layout.js';
import { line } from './yamlText.js';

/** The word of `text` in which place `at` lies, or the middle of a long one. */
function wordAround(text: string, at: number): string {
    const [before] = /[^\s;,]*$/.exec(text.slice(Math.max(0, at - 10), at))!;
    const [after] = /^[^\s;,]*/.exec(text.slice(at, at + 10))!;
    return before + after;
}

/** The part of a map that says how the cells and rows of the file lie. */
export function headLines(
    file: string,
    { encoding, text }: FileText,
    layout: Layout,
    mark: string | null,
): string[] {
    const { dialect, skipLines, headerLines, titles } = layout;
    const accent = text.search(/\P{ASCII}/u);
    const doubt =
        encoding !== 'windows-1252' || accent === -1
            ? null
            : `look at the accents: ${wordAround(text, accent)}`;
    const delimiter = { '\t': 'tab', ',': '","', ';': '";"', '|': '"|"' }[dialect.delimiter]!;
    return [
        `# How ${file.replace(/[\s\p{Cc}]+/gu, ' ')} is read: a first guess. Read it line by line, and mend what is wrong.`,
        '# ASK stands for an answer that only you can give; load refuses the map until each has one.',
        '# Signs as load wants them: camber + top of the wheel outboard, caster + top of the axis rearward, toe + toe-in,',
        '# sai + top of the axis inboard, offsets + outboard and rearward. flip: true turns a sign that is the other way',
        '# round in the file, flip: [FL, RL] only on those corners.',
        line(0, 'kind: readings'),
        line(0, `encoding: ${encoding}`, doubt),
        line(0, `delimiter: ${delimiter}`),
        ...(dialect.quoted
            ? []
            : [line(0, 'quote: none', 'quotation marks stand for inches or seconds, it seems')]),
        line(0, `decimal: "${mark ?? '.'}"`, mark === null ? 'no decimals found' : null),
        ...(skipLines > 0
            ? [line(0, `skip_lines: ${skipLines}`, titles.length === 0 ? null : `such as ${titles[0]!}`)]
            : []),
        ...(headerLines === 1 ? [] : [line(0, `header_lines: ${headerLines}`)]),
    ];
}

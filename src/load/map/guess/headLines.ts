import type { FileText } from './fileText.js';
import type { Layout } from './layout.js';
import { line } from './yamlText.js';

/** The part of a map that says how the cells and rows of the file lie. */
export function headLines(
    file: string,
    { encoding, text }: FileText,
    layout: Layout,
    mark: string | null,
): string[] {
    const { dialect, skipLines, headerLines, titles } = layout;
    const accented = /[^\s;,]*\P{ASCII}[^\s;,]*/u.exec(text)?.[0];
    const doubt =
        encoding !== 'windows-1252' || accented === undefined
            ? null
            : `look at the accents: ${accented.slice(0, 20)}`;
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

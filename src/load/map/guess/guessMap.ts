import { asciiSigns } from '../../../units/asciiSigns.js';
import { GuessedColumns } from './columns.js';
import type { FileText } from './fileText.js';
import { type HeaderWords, headerWords, saysAfter } from './headerWords.js';
import type { GuessRow, Layout } from './layout.js';
import { wideColumns } from './templates.js';
import { decimalMark, looksBlank } from './valueGuess.js';
import { columnLines, flow, type GuessedColumn, line, scalar } from './yamlText.js';

/** Rows with so few cells filled that they are no data, such as a sum or a signature below the table. */
function footers({ rows }: Layout): GuessRow[] {
    const filled = ({ cells }: GuessRow) => cells.filter((cell) => cell !== '').length;
    const usual = rows.map(filled).sort((a, b) => a - b)[Math.floor(rows.length / 2)] ?? 0;
    return rows.filter((row) => filled(row) <= usual / 4);
}

/** What tells the footers from the data: a column that is blank there only, else how each begins. */
function dropLines(layout: Layout, footer: readonly GuessRow[]): string[] {
    if (footer.length === 0) return [];
    const data = layout.rows.filter((row) => !footer.includes(row));
    const index = layout.names.findIndex(
        (_, i) =>
            footer.every(({ cells }) => (cells[i] ?? '') === '') &&
            data.every(({ cells }) => cells[i] !== ''),
    );
    const places = footer
        .slice(0, 3)
        .map((row) => `line ${row.line} ${JSON.stringify(row.text.slice(0, 30))}`)
        .join(', ');
    const comment = `no data, it seems: ${places}`;
    if (index !== -1) {
        const name = scalar(layout.names[index]!);
        return [line(0, 'drop:'), line(1, `- { column: ${name}, blank: true }`, comment)];
    }
    const starts = [...new Set(footer.map(({ text }) => text.slice(0, 12)))];
    return [
        line(0, 'drop:', comment),
        ...starts.map((start) => {
            const escaped = start.replace(/[.*+?^${}()|[\]\\/-]/g, (sign) => `\\${sign}`);
            return line(1, `- line: ${JSON.stringify(`^${escaped}`)}`);
        }),
    ];
}

function blankLines(texts: ReadonlyMap<string, string[]>): string[] {
    const found = [...new Set([...texts.values()].flat().filter(looksBlank))].slice(0, 8);
    if (found.length === 0) return [];
    return [
        line(0, `blank: [${found.map((text) => JSON.stringify(text)).join(', ')}]`, 'not measured, it seems'),
    ];
}

function head(
    file: string,
    { encoding, isMarked, text }: FileText,
    layout: Layout,
    mark: string | null,
): string[] {
    const { dialect, skipLines, headerLines, titles } = layout;
    const accented = /[^\s;,]*\P{ASCII}[^\s;,]*/u.exec(text)?.[0];
    const doubt = isMarked || accented === undefined ? null : `look at the accents: ${accented.slice(0, 20)}`;
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

function ignoreLines(
    names: readonly string[],
    guessed: GuessedColumns,
    reasons: ReadonlyMap<string, string>,
    words: readonly HeaderWords[],
): string[] {
    const rest = names.filter((name) => !guessed.used.has(name));
    if (rest.length === 0) return [];
    const noteFor = (name: string) => {
        const { isNominal, isSteered } = words.find((one) => one.name === name)!;
        const reason = reasons.get(name);
        if (reason !== undefined) return reason;
        if (isNominal) return 'a nominal value or a limit, no reading';
        if (isSteered) return 'a reading with the steering turned: see sweep in shared/README.md';
        const [example] = guessed.textsOf([name]);
        return example === undefined ? 'blank throughout' : `such as ${example.slice(0, 30)}`;
    };
    return [
        line(0, 'ignore:', 'every other column of the file: use it above, or leave it here'),
        ...rest.map((name) => line(1, `- ${scalar(name)}`, noteFor(name))),
    ];
}

/** Our columns that a file may hold once for each corner or phase. */
const perCorner = new Set([
    'camber_deg',
    'caster_deg',
    'toe_deg',
    'sai_deg',
    'mark_1',
    'plate_index',
    'plate_hand',
    'kit',
    'offset_out_mm',
    'offset_aft_mm',
    'ride_height_mm',
    'tyre_kpa',
]);

/** Where a column holds the corner or the phase, and where no side is told, those words in other names tell nothing. */
function withoutSpans(columns: readonly HeaderWords[]): HeaderWords[] {
    const isPlain = (role: string) => columns.some((one) => one.role === role && one.spans.length === 0);
    const tellsSide = columns.some(({ spans }) =>
        spans.some(({ part }) => part === 'corner' || part === 'side'),
    );
    const hasPlaces = tellsSide && !isPlain('corner');
    const hasPhases = !isPlain('phase');
    return columns.map((column) => ({
        ...column,
        spans: column.spans.filter(({ part }) => {
            if (column.role === null || !perCorner.has(column.role)) return false;
            return part === 'phase' ? hasPhases : hasPlaces;
        }),
    }));
}

/** Text of a YAML map for a file, with what is unsure in comments and `ASK` where only the user knows. */
export function guessMap(file: string, fileText: FileText, layout: Layout): string {
    const hasAfter = layout.names.some(saysAfter);
    const words = withoutSpans(layout.names.map((name) => headerWords(name, hasAfter)));
    const wide = wideColumns(words);
    const footer = footers(layout);
    const data = layout.rows.filter((row) => !footer.includes(row));
    const texts = new Map(layout.names.map((name, i) => [name, data.map(({ cells }) => cells[i] ?? '')]));
    const measured = words.filter(({ role }) => role !== null && role !== 'date' && role !== 'time');
    const mark = decimalMark(measured.flatMap(({ name }) => texts.get(name)!.map(asciiSigns)));
    const guessed = new GuessedColumns(words, wide, texts, mark ?? '.');
    const columns: (GuessedColumn | null)[] = [
        guessed.required(
            'vehicle',
            'their column of the car, any id; { constant: NAME } for the same in all rows',
        ),
        guessed.required(
            'chassis',
            'their column of the platform code; { constant: CODE } for the same in all rows',
        ),
        guessed.corner(),
        guessed.moment(),
        guessed.visit(),
        guessed.visitKind(),
        guessed.phase(),
        ...['repeat', 'session', 'kit', 'plate_hand', 'plate_index', 'mark_1'].map((name) =>
            guessed.simple(name),
        ),
        guessed.quantity('offset_out_mm', 'mm inch'),
        guessed.quantity('offset_aft_mm', 'mm inch'),
        ...['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'].map((name) => guessed.angle(name)),
        guessed.quantity('ride_height_mm', 'mm cm inch'),
        guessed.quantity('tyre_kpa', 'kPa bar psi'),
        ...['gauge', 'technician', 'target', 'note'].map((name) => guessed.optional(name)),
    ];
    const unfold = Object.entries(wide.unfold).map(([part, ours]) =>
        line(1, `${part}: ${flow(ours)}`, Object.values(ours).includes('ASK') ? 'FL, FR, RL or RR' : null),
    );
    return [
        ...head(file, fileText, layout, mark),
        ...blankLines(texts),
        ...dropLines(layout, footer),
        ...(unfold.length > 0 ? [line(0, 'unfold:'), ...unfold] : []),
        line(0, 'columns:'),
        ...columns.filter((column) => column !== null).flatMap(columnLines),
        ...ignoreLines(layout.names, guessed, wide.leftOver, words),
        '',
    ].join('\n');
}

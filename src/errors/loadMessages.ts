/** What `load` and `rejects` say about files; the messages about cells carry `{value}` where the cell is put in. */

import { programName } from './programName.js';
import { counted, listed, quoted, shellWord } from './words.js';

function columns(names: readonly string[]): string {
    return `${names.length === 1 ? 'column' : 'columns'} ${listed(names)}`;
}

/** What to do with a file that another program wrote. */
function ifForeign(file: string): string {
    return `If it was not made for Strutmark, ${programName()} map ${shellWord(file)} --to MAP.yaml guesses how to read its readings, and load --map MAP.yaml reads them.`;
}

export function missingFile(file: string): string {
    return `${file}: there is no such file. Check the name and the folder.`;
}

export function cannotRead(file: string, reason: string): string {
    return `${file} cannot be read: ${reason}. Give yourself the right to read it, or copy it elsewhere.`;
}

export function notAFile(file: string, what: string): string {
    const mend =
        what === 'a folder'
            ? `Name the files in it, such as ${shellWord(file.replace(/\/$/, ''))}/*.csv.`
            : 'Write its content to a file and load that.';
    return `${file} is ${what}, not a file. ${mend}`;
}

export function emptyFile(file: string): string {
    return `${file} is empty. Export it again, with a header row and a row for each reading.`;
}

export function headerOnly(file: string): string {
    return `${file} holds blank lines only. Export it again, with a header row and a row for each reading.`;
}

export function compressedFile(file: string, what: string): string {
    return `${file} is ${what}, not a CSV file. Unpack it, or save it as CSV (UTF-8, comma), and load that.`;
}

export function notText(file: string, utf16: boolean): string {
    return utf16
        ? `${file} looks like UTF-16 text without a byte order mark. Save it as CSV with the encoding UTF-8. ${ifForeign(file)}`
        : `${file} is not a text file: its first line holds NUL bytes. Save the table as CSV (UTF-8, comma).`;
}

export function brokenUtf16(file: string): string {
    return `${file} begins as UTF-16 text but holds bytes that are none. Save it again as CSV with the encoding UTF-8.`;
}

export function fileChanged(file: string): string {
    return `${file} changed while it was being read; nothing of it was taken. Load it again once it is written to the end.`;
}

export function lineTooLong(file: string, line: number): string {
    return `${file} line ${line} is longer than 16 MB. This is not a table of rows and columns; save it as CSV (UTF-8, comma).`;
}

export function brokenHeader(file: string, line: number): string {
    return `${file} line ${line}: the header row is no CSV row: a quotation mark is not closed, or it holds bytes that are not UTF-8 text. Save the file as CSV (UTF-8, comma). ${ifForeign(file)}`;
}

export function otherDelimiter(file: string, line: number, delimiter: string): string {
    const name = { ';': 'semicolons', '\t': 'tabs' }[delimiter] ?? 'vertical bars';
    return `${file} line ${line}: the columns are separated by ${name}. Save it with commas as separator and points in the decimals. ${ifForeign(file)}`;
}

export function unnamedColumn(file: string, line: number, position: number): string {
    return `${file} line ${line}: column ${position} has no name. Name it in the header row, or delete the column. ${ifForeign(file)}`;
}

export function unknownKind(kind: string, known: readonly string[]): string {
    return `There is no kind of file ${quoted(kind)}. --as takes one of: ${known.join(', ')}.`;
}

/**
 * `kind`: the kind that the header comes closest to, or that was forced; null when it names no known column. `kinds`, with
 * the columns that each requires, are listed when the kind was not forced.
 */
export function headerUnfit(
    file: string,
    line: number,
    kind: string | null,
    misfit: {
        unknown: readonly { name: string; nearest: string | null }[];
        missing: readonly string[];
        repeated: readonly string[];
    },
    kinds: readonly { kind: string; required: readonly string[] }[],
): string {
    const { missing, repeated } = misfit;
    const unknown = misfit.unknown.map(({ name, nearest }) =>
        nearest === null ? quoted(name) : `${quoted(name)} (${nearest}?)`,
    );
    const faults = [
        ...(unknown.length > 0 ? [`${columns(unknown)} not known, to be renamed or deleted`] : []),
        ...(missing.length > 0 ? [`${columns(missing)} missing, to be added`] : []),
        ...(repeated.length > 0 ? [`${columns(repeated)} there twice, one to be deleted`] : []),
    ];
    const fault =
        kind === null
            ? `the header row names no known column: ${columns(unknown)}`
            : `the header does not fit ${kind}: ${faults.join('; ')}`;
    const choices = kinds.map(({ kind: name, required }) => `\n    ${name}: ${required.join(', ')}`);
    const hint =
        choices.length === 0
            ? ''
            : ` ${ifForeign(file)} Kinds of file and the columns that each needs (--as KIND forces one):${choices.join('')}`;
    return `${file} line ${line}: ${fault}.${hint}`;
}

export function diskFull(where: string): string {
    return `The disk is full while writing ${where}; the file in hand was not taken. Free some space and load it again.`;
}

export function noTemporaryFolder(folder: string, reason: string): string {
    return `No folder can be made in ${folder}, where files are prepared: ${reason}. Name another place in the environment variable TMPDIR.`;
}

export function raggedRow(cells: number, expected: number): string {
    return cells > expected
        ? `has ${cells} cells where the header has ${expected}: put a cell that holds a comma in quotation marks`
        : `has ${cells} cells where the header has ${expected}: a comma is missing`;
}

export function namelessCell(position: number): string {
    return `has text in column ${position}, which has no name in the header row: name the column there, or delete the text`;
}

export function openQuote(): string {
    return 'a quotation mark opens this cell and is not closed on the line: close it, or double it inside a quoted cell';
}

export function afterQuote(): string {
    return 'text follows the closing quotation mark: double the marks that belong to the text';
}

export function strayQuote(): string {
    return 'a quotation mark stands inside an unquoted cell: put the cell in quotation marks and double the mark';
}

export function controlCharacter(): string {
    return 'holds a control character such as NUL: delete it';
}

export function notUtf8(): string {
    return 'holds bytes that are not UTF-8 text, probably an accented letter in an older encoding: save the file as UTF-8';
}

export function rowTooLong(bytes: number): string {
    return `is longer than ${bytes / 1024} kB: shorten it`;
}

export function blankCell(): string {
    return 'is blank, and every row needs it';
}

export function nothingMeasured(names: readonly string[]): string {
    return `is blank, as are the others: at least one of ${names.join(', ')} is needed`;
}

export function cellTooLong(characters: number): string {
    return `"{value}" is longer than ${characters} characters: shorten it`;
}

/** `{code}` is put in too. */
export function unseenCharacter(): string {
    return '"{value}" holds a character that nobody sees, or a line end ({code}), which a name may not: delete it';
}

export function notAWord(words: readonly string[]): string {
    return `"{value}" is none of ${words.join(' ')}`;
}

export function notAMoment(): string {
    return '"{value}" is no ISO 8601 date such as 2024-05-01 or 2024-05-01T14:30: write it so, with a day that exists';
}

export function decimalComma(): string {
    return '"{value}" has a decimal comma: write a decimal point';
}

export function degreesMinutes(): string {
    return '"{value}" looks like degrees and minutes: write decimal degrees (1 degree 30 minutes = 1.5)';
}

export function typographicMinus(): string {
    return '"{value}" begins with a dash: write the minus sign -';
}

export function numberWithUnit(): string {
    return '"{value}" holds more than the number: delete the unit';
}

export function notANumber(): string {
    return '"{value}" is not a decimal number; blank = not measured';
}

export function notWhole(): string {
    return '"{value}" is not a whole number';
}

export function outOfRange(min: number | null, max: number | null, unit: string | null): string {
    return `"{value}" lies outside ${min} to ${max}${unit === null ? '' : ` ${unit}`}: check the number, its sign and its unit`;
}

/** `{columns}`, `{file}` and `{line}` are put in for each row. */
export function otherContent(): string {
    return `the same key stands in {file} line {line} with another {columns}: delete one of the two rows, or load with --replace to take this one; ${programName()} forget takes the stored one out`;
}

/** The same where both rows stand in the file that is being loaded, so that --replace cannot choose. */
export function otherContentHere(): string {
    return 'the same key stands in line {line} of this file with another {columns}: delete one of the two rows';
}

export function fileExists(file: string): string {
    return `${file} exists already and may hold rows that you have mended. Name another file, or move it away.`;
}

export function rowsSetAside(rejected: number): string {
    return `${counted(rejected, 'row was', 'rows were')} set aside: ${programName()} rejects shows why, ${programName()} rejects --to FILE.csv writes them out for mending.`;
}

export function namedTwice(file: string): string {
    return `${file} is named twice; it was looked at once.`;
}

export function dryRunDone(): string {
    return 'Dry run: nothing was changed.';
}

export function rejectsWaiting(shown: number, all: number): string {
    const mend = `${programName()} rejects --to FILE.csv writes them out for mending.`;
    if (all === 0) return 'No row waits to be mended.';
    return shown < all ? `${shown} of ${all} rows are shown, --json shows all; ${mend}` : mend;
}

/** `maps` that some of the rows came with. */
export function rejectsWritten(maps: readonly string[]): string {
    const how = maps.length === 0 ? '' : ` (with --map ${maps.map(shellWord).join(', or --map ')})`;
    return `Mend the rows and load the file${how}; the file of reasons says what is wrong on which line.`;
}

/** The rows are committed before the model tables are made. */
export function modelsNotMade(reason: string): string {
    return `The rows are stored, but not all model tables could be made: ${reason} Questions make what is missing; load --later leaves it to them.`;
}

export function modelsStopped(): string {
    return 'Stopped while model tables were being made. The rows are stored; questions make what is missing.';
}

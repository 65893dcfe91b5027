/** What `load` and `rejects` say about files; the messages about cells carry `{value}` where the cell is put in. */

import { programName } from './programName.js';
import { counted, listed, quoted, shellPath } from './words.js';

const columns = (names: readonly string[]) => `${names.length === 1 ? 'column' : 'columns'} ${listed(names)}`;

/** What to do with a file that another program wrote. */
const ifForeign = (file: string) =>
    `If it was not made for Strutmark, ${programName()} map ${shellPath(file)} --to MAP.yaml guesses how to read its readings, and load --map MAP.yaml reads them.`;

export const missingFile = (file: string) => `${file}: there is no such file. Check the name and the folder.`;

export const cannotRead = (file: string, reason: string) =>
    `${file} cannot be read: ${reason}. Give yourself the right to read it, or copy it elsewhere.`;

export function notAFile(file: string, what: string): string {
    const mend =
        what === 'a folder'
            ? `Name the files in it, such as ${shellPath(file.replace(/\/$/, ''))}/*.csv.`
            : 'Write its content to a file and load that.';
    return `${file} is ${what}, not a file. ${mend}`;
}

export const emptyFile = (file: string) =>
    `${file} is empty. Export it again, with a header row and a row for each reading.`;

export const headerOnly = (file: string) =>
    `${file} holds blank lines only. Export it again, with a header row and a row for each reading.`;

export const compressedFile = (file: string, what: string) =>
    `${file} is ${what}, not a CSV file. Unpack it, or save it as CSV (UTF-8, comma), and load that.`;

export const notText = (file: string, utf16: boolean) =>
    utf16
        ? `${file} looks like UTF-16 text without a byte order mark. Save it as CSV with the encoding UTF-8. ${ifForeign(file)}`
        : `${file} is not a text file: its first line holds NUL bytes. Save the table as CSV (UTF-8, comma).`;

export const brokenUtf16 = (file: string) =>
    `${file} begins as UTF-16 text but holds bytes that are none. Save it again as CSV with the encoding UTF-8.`;

export const fileChanged = (file: string) =>
    `${file} changed while it was being read; nothing of it was taken. Load it again once it is written to the end.`;

export const lineTooLong = (file: string, line: number) =>
    `${file} line ${line} is longer than 16 MB. This is not a table of rows and columns; save it as CSV (UTF-8, comma).`;

export const brokenHeader = (file: string, line: number) =>
    `${file} line ${line}: the header row is no CSV row: a quotation mark is not closed, or it holds bytes that are not UTF-8 text. Save the file as CSV (UTF-8, comma). ${ifForeign(file)}`;

export function otherDelimiter(file: string, line: number, delimiter: string): string {
    const name = { ';': 'semicolons', '\t': 'tabs' }[delimiter] ?? 'vertical bars';
    return `${file} line ${line}: the columns are separated by ${name}. Save it with commas as separator and points in the decimals. ${ifForeign(file)}`;
}

export const unnamedColumn = (file: string, line: number, position: number) =>
    `${file} line ${line}: column ${position} has no name. Name it in the header row, or delete the column. ${ifForeign(file)}`;

export const unknownKind = (kind: string, known: readonly string[]) =>
    `There is no kind of file ${quoted(kind)}. --as takes one of: ${known.join(', ')}.`;

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

export const diskFull = (where: string) =>
    `The disk is full while writing ${where}; the file in hand was not taken. Free some space and load it again.`;

export const noTemporaryFolder = (folder: string, reason: string) =>
    `No folder can be made in ${folder}, where files are prepared: ${reason}. Name another place in the environment variable TMPDIR.`;

export const raggedRow = (cells: number, expected: number) =>
    cells > expected
        ? `has ${cells} cells where the header has ${expected}: put a cell that holds a comma in quotation marks`
        : `has ${cells} cells where the header has ${expected}: a comma is missing`;

export const namelessCell = (position: number) =>
    `has text in column ${position}, which has no name in the header row: name the column there, or delete the text`;

export const openQuote = () =>
    'a quotation mark opens this cell and is not closed on the line: close it, or double it inside a quoted cell';

export const afterQuote = () =>
    'text follows the closing quotation mark: double the marks that belong to the text';

export const strayQuote = () =>
    'a quotation mark stands inside an unquoted cell: put the cell in quotation marks and double the mark';

export const controlCharacter = () => 'holds a control character such as NUL: delete it';

export const notUtf8 = () =>
    'holds bytes that are not UTF-8 text, probably an accented letter in an older encoding: save the file as UTF-8';

export const rowTooLong = (bytes: number) => `is longer than ${bytes / 1024} kB: shorten it`;

export const blankCell = () => 'is blank, and every row needs it';

export const nothingMeasured = (names: readonly string[]) =>
    `is blank, as are the others: at least one of ${names.join(', ')} is needed`;

export const cellTooLong = (characters: number) =>
    `"{value}" is longer than ${characters} characters: shorten it`;

/** `{code}` is put in too. */
export const unseenCharacter = () =>
    '"{value}" holds a character that nobody sees, or a line end ({code}), which a name may not: delete it';

export const notAWord = (words: readonly string[]) => `"{value}" is none of ${words.join(' ')}`;

export const notAMoment = () =>
    '"{value}" is no ISO 8601 date such as 2024-05-01 or 2024-05-01T14:30: write it so, with a day that exists';

export const decimalComma = () => '"{value}" has a decimal comma: write a decimal point';

export const degreesMinutes = () =>
    '"{value}" looks like degrees and minutes: write decimal degrees (1 degree 30 minutes = 1.5)';

export const typographicMinus = () => '"{value}" begins with a dash: write the minus sign -';

export const numberWithUnit = () => '"{value}" holds more than the number: delete the unit';

export const notANumber = () => '"{value}" is not a decimal number; blank = not measured';

export const notWhole = () => '"{value}" is not a whole number';

export const outOfRange = (min: number | null, max: number | null, unit: string | null) =>
    `"{value}" lies outside ${min} to ${max}${unit === null ? '' : ` ${unit}`}: check the number, its sign and its unit`;

/** `{columns}`, `{file}` and `{line}` are put in for each row. */
export const otherContent = () =>
    `the same key stands in {file} line {line} with another {columns}: delete one of the two rows, or load with --replace to take this one; ${programName()} forget takes the stored one out`;

/** The same where both rows stand in the file that is being loaded, so that --replace cannot choose. */
export const otherContentHere = () =>
    'the same key stands in line {line} of this file with another {columns}: delete one of the two rows';

export const fileExists = (file: string) =>
    `${file} exists already and may hold rows that you have mended. Name another file, or move it away.`;

export const rowsSetAside = (rejected: number) =>
    `${counted(rejected, 'row was', 'rows were')} set aside: ${programName()} rejects shows why, ${programName()} rejects --to FILE.csv writes them out for mending.`;

export const rowsToSetAside = (rejected: number) =>
    `${counted(rejected, 'row')} would be set aside. A load without --dry-run keeps ${rejected === 1 ? 'it' : 'them'} apart, and ${programName()} rejects then shows why.`;

export const namedTwice = (file: string) => `${file} is named twice; it was looked at once.`;

export const dryRunDone = () => 'Dry run: nothing was changed.';

export function rejectsWaiting(shown: number, all: number): string {
    const mend = `${programName()} rejects --to FILE.csv writes them out for mending.`;
    if (all === 0) return 'No row waits to be mended.';
    return shown < all ? `${shown} of ${all} rows are shown, --json shows all; ${mend}` : mend;
}

/** `maps` that some of the rows came with. */
export function rejectsWritten(maps: readonly string[]): string {
    const how = maps.length === 0 ? '' : ` (with --map ${maps.map(shellPath).join(', or --map ')})`;
    return `Mend the rows and load the file${how}; the file of reasons says what is wrong on which line.`;
}

/** The rows are committed before the model tables are made. */
export const modelsNotMade = (reason: string) =>
    `The rows are stored, but not all model tables could be made: ${reason} Questions make what is missing; load --later leaves it to them.`;

export const modelsStopped = () =>
    'Stopped while model tables were being made. The rows are stored; questions make what is missing.';

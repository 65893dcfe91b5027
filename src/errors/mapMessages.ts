/** What `load --map` and `map` say: about the map with file and line, about cells as what follows the name of their column. */

import { programName } from './programName.js';
import { counted, listed, quoted, shellPath } from './words.js';

const cut = (text: string) => (text.length > 40 ? `${text.slice(0, 40)}...` : text);

export const cannotReadMap = (file: string, reason: string) =>
    `${file} cannot be read as a map: ${reason}. Check the name, and that it is a YAML file in UTF-8.`;

export const mapExists = (file: string) =>
    `${file} exists already and may hold your answers. Name another file, or move it away.`;

export const mapTooLarge = (file: string) =>
    `${file} is larger than 1 MB, so it is no map. --map takes a YAML file as ${programName()} map FILE writes it.`;

export const brokenYaml = (file: string, line: number, reason: string) =>
    `${file} line ${line}: not YAML: ${reason}. Check quotation marks, colons and the spaces in front.`;

export function openQuestion(
    file: string,
    { line, key, question }: { line: number; key: string; question: string },
): string {
    const asked = question === '' ? '' : ` ${question}`;
    return `${file} line ${line}: ${key === '' ? '' : `${key}: `}ASK waits for your answer.${asked}`;
}

export const mapFault = (file: string, line: number, path: readonly string[], message: string) =>
    `${file} line ${line}: ${path.length === 0 ? '' : `${path.join('.')}: `}${message}`;

export const unknownKey = (key: string, nearest: string | null) =>
    `there is no key ${quoted(key)} here${nearest === null ? '' : ` (${nearest}?)`}. shared/map.schema.json lists them.`;

export const keyMissing = () => 'is missing.';

export const notOneOf = (words: readonly string[]) => `is none of ${words.join(' ')}.`;

export const badPattern = (reason: string) => `no regular expression: ${reason}.`;

export const unsupportedPattern = (reason: string) =>
    `${reason}: look-around, back-references, repeats over 1000 and long names of properties are not taken, as searching with them may never end. Write the pattern without.`;

export const noGroup = (name: string) =>
    `the pattern needs a group with the name of the column, (?<${name}>...), for the part that counts.`;

export const oneSourceOf = () =>
    'needs one, and only one, of column, constant, text, sweep; a column of unfold needs none.';

export const notForColumn = (key: string, column: string) =>
    `${key} says nothing about ${column}; delete it.`;

export const notOurColumn = (name: string, nearest: string | null, kind: string) =>
    `${kind} have no column ${quoted(name)}${nearest === null ? '' : ` (${nearest}?)`}.`;

export function notOurValue(value: string, column: string, words: readonly string[]): string {
    const wanted = words.length === 0 ? 'a number' : `one of ${words.join(' ')}`;
    return `${quoted(value)} is no value of ${column}; write ${wanted}.`;
}

export const unitUnfit = (column: string, units: readonly string[]) =>
    units.length === 0
        ? `${column} takes no unit; delete it.`
        : `does not go with ${column}; write one of ${units.join(' ')}.`;

export const lengthOnAngle = (column: string) =>
    `${column} is an angle; only toe is also measured as a length.`;

export const diameterMissing = () =>
    'toe in mm or inches needs diameter_mm, the distance of the two points that it was measured between (16 inches are 406.4).';

export const toeUnsaid = () => 'needs toe: total (of the axle, to be halved) or toe: wheel.';

export const sweepNeeds = () =>
    'caster from a sweep needs sai_deg or camber_deg (straight ahead) in the map too.';

export const onlyWithoutPhase = (phase: string) =>
    `no word of unfold phase stands for ${phase}, so there is no such row to keep the cell for; delete only, or unfold the phase.`;

export const unfoldParts = () =>
    'axle and side go together, or with corner: one alone does not tell the corner. Where the other is a column, put them together: corner: { text: "{Axle} {side}", words: { front left: FL, ... } }.';

export const wrongDropKeys = () =>
    'write {column: NAME, blank: true}, {column: NAME, pattern: EXPRESSION} or {line: EXPRESSION}.';

export const mapNeeds = (kind: string, missing: readonly string[]) =>
    `${kind} need ${listed(missing)} too: a column of theirs, or {constant: VALUE}.`;

/** `faults` one a line. */
export const mapUnfit = (file: string, line: number, map: string, faults: readonly string[]) =>
    `${file} line ${line}: the columns do not fit ${map}:${faults.map((fault) => `\n    ${fault}`).join('')}`;

export const noSuchColumn = (where: string, name: string, nearest: string | null) =>
    `${where}: there is no column ${quoted(name)}${nearest === null ? '' : ` (${quoted(nearest)}?)`}`;

export const twoColumns = (column: string, fold: readonly string[]) =>
    `${column} of ${fold.join(' ')}: two columns of the file fit; make their words in unfold differ`;

export const foldUnused = (name: string, word: string) =>
    `unfold ${name}: no column that the map uses has the word ${quoted(word)}`;

export function unusedColumns(names: readonly string[]): string {
    const list = names.map((name) => JSON.stringify(name)).join(', ');
    return `neither used nor ignored: [${list}]. Use them under columns, or copy the list to ignore`;
}

export const oneColumn = () =>
    'the header holds one column only: check delimiter, skip_lines and header_lines of the map';

export const headerMissing = (file: string, skipLines: number) =>
    `${file}: no header row is left behind the ${skipLines} lines that the map skips. Check skip_lines and header_lines.`;

export const headerBroken = (file: string, line: number) =>
    `${file} line ${line}: the header row cannot be read: a quotation mark is not closed, or its bytes are not of the encoding. Check delimiter, quote, encoding and skip_lines of the map.`;

export const mapAndKind = () =>
    'The kind of file stands in the map: leave out --as, or write kind: in the map.';

export const notOfForm = (text: string, example: string) =>
    `"${cut(text)}" is not ${example}: mend the cell, or unit and decimal in the map`;

export const noSuchDate = (text: string, order: string) =>
    `"${cut(text)}" is no date written ${order}, in digits: mend the cell, or date in the map`;

export const noSuchDay = (text: string) =>
    `"${text}" is a day or time that does not exist: mend the cell, or the order under date in the map`;

export const patternUnmatched = (text: string, pattern: string) =>
    `"${cut(text)}" does not fit the pattern ${pattern}: mend the cell, the pattern, or say unmatched: blank in the map`;

export const alsoWrong = (column: string | null, reason: string) =>
    `also ${column === null ? '' : `${column} `}${reason}`;

export const nothingInRow = () =>
    'is blank, as are the others that hold readings: fill one in, or let the map drop such rows';

export const sweepIncomplete = () => 'is blank: a sweep needs camber with the steering turned left and right';

export const steerUnfit = (text: string) => `"${cut(text)}" is no steering angle over 0 and under 90 degrees`;

export const sweepWithoutStraight = () =>
    'gives no caster: the row has neither SAI nor camber straight ahead';

export const raggedMapped = (cells: number, expected: number) =>
    `has ${cells} cells where the header has ${expected}: a delimiter is missing or too many, or the row is no data and the map should drop it`;

export const notInEncoding = (encoding: string) =>
    `holds bytes that are not ${encoding}: name the encoding in the map (windows-1252 for older files)`;

export const noTable = (file: string) =>
    `${file} holds no table that a map could be guessed for: no rows with the same number of cells. Export it as CSV, with a header row.`;

/** `same`: columns and values that all rows shown have in common. */
export function mapPreview(same: readonly string[], isAsked: boolean): string {
    const all = same.length === 0 ? '' : ` In every row: ${same.join(', ')}.`;
    const marked = isAsked ? ' Columns with ? wait for an answer and show the cells as they stand.' : '';
    return `These are the first rows as they would load.${all}${marked}`;
}

export function mapAsks(
    questions: readonly { line: number; key: string; question: string }[],
    file: string | null,
): string {
    if (questions.length === 0) return 'The map asks nothing, but read it all the same.';
    const list = questions
        .map(({ line, key, question }) => `\n    line ${line} ${key}: ${question}`)
        .join('');
    const where = file === null ? 'the map' : file;
    return `${counted(questions.length, 'question waits', 'questions wait')} in ${where} where ASK stands:${list}`;
}

export const mapUnwritten = (file: string) =>
    `Write it to a file with ${programName()} map ${shellPath(file)} --to MAP.yaml, answer, and load: ${programName()} load --map MAP.yaml ${shellPath(file)}`;

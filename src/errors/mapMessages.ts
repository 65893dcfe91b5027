/** What `load --map` and `map` say: about the map with file and line, about cells as what follows the name of their column. */

import { programName } from './programName.js';
import { counted, listed, quoted, shellWord } from './words.js';

const cut = (text: string) => (text.length > 40 ? `${text.slice(0, 40)}...` : text);

export function cannotReadMap(file: string, reason: string): string {
    return `${file} cannot be read as a map: ${reason}. Check the name, and that it is a YAML file in UTF-8.`;
}

export function mapExists(file: string): string {
    return `${file} exists already and may hold your answers. Name another file, or move it away.`;
}

export function mapTooLarge(file: string): string {
    return `${file} is larger than 1 MB, so it is no map. --map takes a YAML file as ${programName()} map FILE writes it.`;
}

export function brokenYaml(file: string, line: number, reason: string): string {
    return `${file} line ${line}: not YAML: ${reason}. Check quotation marks, colons and the spaces in front.`;
}

export function openQuestion(
    file: string,
    { line, key, question }: { line: number; key: string; question: string },
): string {
    const asked = question === '' ? '' : ` ${question}`;
    return `${file} line ${line}: ${key === '' ? '' : `${key}: `}ASK waits for your answer.${asked}`;
}

export function mapFault(file: string, line: number, path: readonly string[], message: string): string {
    return `${file} line ${line}: ${path.length === 0 ? '' : `${path.join('.')}: `}${message}`;
}

export function unknownKey(key: string, nearest: string | null): string {
    return `there is no key ${quoted(key)} here${nearest === null ? '' : ` (${nearest}?)`}. shared/map.schema.json lists them.`;
}

export function keyMissing(): string {
    return 'is missing.';
}

export function notOneOf(words: readonly string[]): string {
    return `is none of ${words.join(' ')}.`;
}

export function badPattern(reason: string): string {
    return `no regular expression: ${reason}.`;
}

export function unsupportedPattern(reason: string): string {
    return `${reason}: look-around, back-references, repeats over 1000 and long names of properties are not taken, as searching with them may never end. Write the pattern without.`;
}

export function noGroup(name: string): string {
    return `the pattern needs a group with the name of the column, (?<${name}>...), for the part that counts.`;
}

export function oneSourceOf(): string {
    return 'needs one, and only one, of column, constant, text, sweep; a column of unfold needs none.';
}

export function notForColumn(key: string, column: string): string {
    return `${key} says nothing about ${column}; delete it.`;
}

export function notOurColumn(name: string, nearest: string | null, kind: string): string {
    return `${kind} have no column ${quoted(name)}${nearest === null ? '' : ` (${nearest}?)`}.`;
}

export function notOurValue(value: string, column: string, words: readonly string[]): string {
    const wanted = words.length === 0 ? 'a number' : `one of ${words.join(' ')}`;
    return `${quoted(value)} is no value of ${column}; write ${wanted}.`;
}

export function unitUnfit(column: string, units: readonly string[]): string {
    return units.length === 0
        ? `${column} takes no unit; delete it.`
        : `does not go with ${column}; write one of ${units.join(' ')}.`;
}

export function lengthOnAngle(column: string): string {
    return `${column} is an angle; only toe is also measured as a length.`;
}

export function diameterMissing(): string {
    return 'toe in mm or inches needs diameter_mm, the distance of the two points that it was measured between (16 inches are 406.4).';
}

export function toeUnsaid(): string {
    return 'needs toe: total (of the axle, to be halved) or toe: wheel.';
}

export function sweepNeeds(): string {
    return 'caster from a sweep needs sai_deg or camber_deg (straight ahead) in the map too.';
}

export function onlyWithoutPhase(phase: string): string {
    return `no word of unfold phase stands for ${phase}, so there is no such row to keep the cell for; delete only, or unfold the phase.`;
}

export function unfoldParts(): string {
    return 'axle and side go together, or with corner: one alone does not tell the corner. Where the other is a column, put them together: corner: { text: "{Axle} {side}", words: { front left: FL, ... } }.';
}

export function wrongDropKeys(): string {
    return 'write {column: NAME, blank: true}, {column: NAME, pattern: EXPRESSION} or {line: EXPRESSION}.';
}

export function mapNeeds(kind: string, missing: readonly string[]): string {
    return `${kind} need ${listed(missing)} too: a column of theirs, or {constant: VALUE}.`;
}

/** `faults` one a line. */
export function mapUnfit(file: string, line: number, map: string, faults: readonly string[]): string {
    return `${file} line ${line}: the columns do not fit ${map}:${faults.map((fault) => `\n    ${fault}`).join('')}`;
}

export function noSuchColumn(where: string, name: string, nearest: string | null): string {
    return `${where}: there is no column ${quoted(name)}${nearest === null ? '' : ` (${quoted(nearest)}?)`}`;
}

export function twoColumns(column: string, fold: readonly string[]): string {
    return `${column} of ${fold.join(' ')}: two columns of the file fit; make their words in unfold differ`;
}

export function foldUnused(name: string, word: string): string {
    return `unfold ${name}: no column that the map uses has the word ${quoted(word)}`;
}

export function unusedColumns(names: readonly string[]): string {
    const list = names.map((name) => JSON.stringify(name)).join(', ');
    return `neither used nor ignored: [${list}]. Use them under columns, or copy the list to ignore`;
}

export function oneColumn(): string {
    return 'the header holds one column only: check delimiter, skip_lines and header_lines of the map';
}

export function headerMissing(file: string, skipLines: number): string {
    return `${file}: no header row is left behind the ${skipLines} lines that the map skips. Check skip_lines and header_lines.`;
}

export function headerBroken(file: string, line: number): string {
    return `${file} line ${line}: the header row cannot be read: a quotation mark is not closed, or its bytes are not of the encoding. Check delimiter, quote, encoding and skip_lines of the map.`;
}

export function mapAndKind(): string {
    return 'The kind of file stands in the map: leave out --as, or write kind: in the map.';
}

export function notOfForm(text: string, example: string): string {
    return `"${cut(text)}" is not ${example}: mend the cell, or unit and decimal in the map`;
}

export function noSuchDate(text: string, order: string): string {
    return `"${cut(text)}" is no date written ${order}, in digits: mend the cell, or date in the map`;
}

export function noSuchDay(text: string): string {
    return `"${text}" is a day or time that does not exist: mend the cell, or the order under date in the map`;
}

export function patternUnmatched(text: string, pattern: string): string {
    return `"${cut(text)}" does not fit the pattern ${pattern}: mend the cell, the pattern, or say unmatched: blank in the map`;
}

export function alsoWrong(column: string | null, reason: string): string {
    return `also ${column === null ? '' : `${column} `}${reason}`;
}

export function nothingInRow(): string {
    return 'is blank, as are the others that hold readings: fill one in, or let the map drop such rows';
}

export function sweepIncomplete(): string {
    return 'is blank: a sweep needs camber with the steering turned left and right';
}

export function steerUnfit(text: string): string {
    return `"${cut(text)}" is no steering angle over 0 and under 90 degrees`;
}

export function sweepWithoutStraight(): string {
    return 'gives no caster: the row has neither SAI nor camber straight ahead';
}

export function raggedMapped(cells: number, expected: number): string {
    return `has ${cells} cells where the header has ${expected}: a delimiter is missing or too many, or the row is no data and the map should drop it`;
}

export function notInEncoding(encoding: string): string {
    return `holds bytes that are not ${encoding}: name the encoding in the map (windows-1252 for older files)`;
}

export function noTable(file: string): string {
    return `${file} holds no table that a map could be guessed for: no rows with the same number of cells. Export it as CSV, with a header row.`;
}

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

export function mapUnwritten(file: string): string {
    return `Write it to a file with ${programName()} map ${shellWord(file)} --to MAP.yaml, answer, and load: ${programName()} load --map MAP.yaml ${shellWord(file)}`;
}

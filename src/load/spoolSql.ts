import { literal } from '../db/database.js';
import { writtenCell } from './exported.js';
import { LINE_DIGITS, type Piece } from './spool.js';

const dialect = "header = false, auto_detect = false, new_line = '\\n'";
// Small buffers leave each thread something to do and take less memory; a row of the spool is at most 2 MB.
const csvDialect = `${dialect}, buffer_size = 8000000, delim = ',', quote = '"', escape = '"', strict_mode = true`;

/** Takes a line of the spool as one text: the delimiter is a control character, which no clean row holds. */
const lineDialect = `${dialect}, delim = '\x1f', quote = '', escape = ''`;

function paths(pieces: readonly Piece[], part: 'clean' | 'odd'): string | null {
    const found = pieces.map((piece) => piece[part]).filter((path) => path !== null);
    return found.length === 0 ? null : `[${found.map(literal).join(', ')}]`;
}

function struct(names: readonly string[]): string {
    const cells = names.map((name) => `${literal(name)}: 'varchar'`);
    return `{'line': 'integer', ${cells.join(', ')}}`;
}

function unionAll(parts: readonly (string | null)[]): string {
    return parts.filter((part) => part !== null).join('\nunion all\n');
}

/** Query for the spooled rows: `line` and the cells as trimmed text, blank = null. */
export function spooledRows(pieces: readonly Piece[], names: readonly string[]): string {
    const clean = paths(pieces, 'clean');
    const odd = paths(pieces, 'odd');
    const cells = names.map((name) => writtenCell(name, names)).join(', ');
    // Rows with inner line ends cannot be read by several threads: each would have to guess where a row begins.
    return unionAll([
        clean && `select line, ${cells} from read_csv(${clean}, columns = ${struct(names)}, ${csvDialect})`,
        odd &&
            `select line, ${cells} from read_csv(${odd}, columns = ${struct(['original', ...names])}, ${csvDialect}, parallel = false)`,
    ]);
}

/** Query for the spooled rows as they stood in the file: `line` and `text`, once where a map makes several rows of a line. */
export function spooledTexts(pieces: readonly Piece[], names: readonly string[]): string {
    const clean = paths(pieces, 'clean');
    const odd = paths(pieces, 'odd');
    return unionAll([
        clean &&
            `select cast(row[1:${LINE_DIGITS}] as integer) as line, row[${LINE_DIGITS + 2}:] as text from read_csv(${clean}, columns = {'row': 'varchar'}, ${lineDialect})`,
        odd &&
            `select line, any_value(original) as text from read_csv(${odd}, columns = ${struct(['original', ...names])}, ${csvDialect}, parallel = false) group by line`,
    ]);
}

import type { Column, TableContract } from '../contracts/table.js';
import { identifier, literal } from '../db/database.js';
import { sqlType } from '../db/schema.js';
import {
    blankCell,
    cellTooLong,
    decimalComma,
    degreesMinutes,
    notAMoment,
    notANumber,
    notAWord,
    nothingMeasured,
    notWhole,
    numberWithUnit,
    outOfRange,
    typographicMinus,
} from '../errors/loadMessages.js';

/** One way in which a row can break its contract, as SQL over the trimmed text cells of the row. */
export interface Check {
    column: string;
    /** True or false, never null. */
    fails: string;
    /** What to tell the user where it fails. */
    reason: string;
}

/** `template` with the cell, cut to a readable length, in the place of `{value}`. */
function reason(template: string, cell: string): string {
    if (!template.includes('{value}')) return literal(template);
    const shown = `case when length(${cell}) > 40 then left(${cell}, 40) || '...' else ${cell} end`;
    return `replace(${literal(template)}, '{value}', ${shown})`;
}

const mistakenNumbers: [string, string][] = [
    ['^[+-]?\\d*,\\d+$', decimalComma()],
    ['^[−–—]', typographicMinus()],
    ["^[+-]?\\d+ *[°d: ] *\\d+ *['′m]?$", degreesMinutes()],
    ['^[+-]?[\\d.]+ *[A-Za-zµ°%"\'′″]+\\.?$', numberWithUnit()],
];

/** The number that a text cell holds; null where DuckDB sees none. */
function asNumber(cell: string): string {
    return `try_cast(${cell} as double)`;
}

function numberChecks(column: Column, cell: string): Check[] {
    const value = asNumber(cell);
    const mistaken = mistakenNumbers.map(
        ([pattern, message]) =>
            `when regexp_matches(${cell}, ${literal(pattern)}) then ${reason(message, cell)}`,
    );
    // DuckDB reads 1_000 and +-1 as numbers, and 1e400, inf and nan as numbers that are not finite.
    const checks = [
        {
            column: column.name,
            fails: `(${cell} is not null and (${value} is null or not isfinite(${value}) or contains(${cell}, '_') or contains(${cell}, '+-')))`,
            reason: `case ${mistaken.join(' ')} else ${reason(notANumber(), cell)} end`,
        },
        {
            column: column.name,
            fails: `coalesce(not ${value} between ${column.min} and ${column.max}, false)`,
            reason: reason(outOfRange(column.min, column.max, column.unit), cell),
        },
    ];
    if (column.type === 'integer') {
        checks.push({
            column: column.name,
            fails: `coalesce(${value} <> trunc(${value}), false)`,
            reason: reason(notWhole(), cell),
        });
    }
    return checks;
}

function wordCheck(column: Column, cell: string): Check {
    return {
        column: column.name,
        fails: `coalesce(${cell} not in (${column.words.map(literal).join(', ')}), false)`,
        reason: reason(notAWord(column.words), cell),
    };
}

function momentCheck(column: Column, cell: string): Check {
    const written = `regexp_matches(${cell}, ${literal(column.pattern!)})`;
    return {
        column: column.name,
        fails: `(${cell} is not null and (not ${written} or try_cast(left(${cell}, 10) as date) is null))`,
        reason: reason(notAMoment(), cell),
    };
}

function lengthCheck(column: Column, cell: string): Check {
    return {
        column: column.name,
        // Characters are counted only where there are as many bytes.
        fails: `coalesce(strlen(${cell}) > ${column.maxLength} and length(${cell}) > ${column.maxLength}, false)`,
        reason: reason(cellTooLong(column.maxLength!), cell),
    };
}

function columnChecks(column: Column): Check[] {
    const cell = identifier(column.name);
    const blank = { column: column.name, fails: `(${cell} is null)`, reason: literal(blankCell()) };
    const content = {
        text: () => [lengthCheck(column, cell)],
        choice: () => [wordCheck(column, cell)],
        datetime: () => [momentCheck(column, cell)],
        number: () => numberChecks(column, cell),
        integer: () => numberChecks(column, cell),
    }[column.type]();
    return column.required ? [blank, ...content] : content;
}

/** Every check of the rows of a file that has the columns `names`, in the order of the contract. */
export function rowChecks(contract: TableContract, names: readonly string[]): Check[] {
    const present = contract.columns.filter((column) => names.includes(column.name));
    const groups = contract.atLeastOneOf.map((group): Check => {
        const cells = group.filter((name) => names.includes(name));
        return {
            column: cells[0]!,
            fails: `(coalesce(${cells.map(identifier).join(', ')}) is null)`,
            reason: literal(nothingMeasured(group)),
        };
    });
    return [...present.flatMap(columnChecks), ...groups];
}

/** SQL condition for the rows that keep their contract; never null. */
export function validRow(checks: readonly Check[]): string {
    return `not (${checks.map((check) => check.fails).join('\n        or ')})`;
}

/** The cell of `column` with its SQL type, for valid rows; null where the file has no such column. */
export function typedCell(column: Column, names: readonly string[]): string {
    if (!names.includes(column.name)) return `cast(null as ${sqlType(column)})`;
    const cell = identifier(column.name);
    // Adding nothing turns -0 into 0.
    if (column.type === 'number') return `${asNumber(cell)} + 0`;
    if (column.type === 'integer') return `try_cast(${asNumber(cell)} as integer)`;
    return cell;
}

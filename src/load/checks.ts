import { re2Class } from '../contracts/columns.js';
import type { RowRule } from '../contracts/rowRule.js';
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
    unseenCharacter,
} from '../errors/loadMessages.js';
import { unseenCharacters } from '../units/visibleText.js';

/** What a row must keep, as SQL over its trimmed text cells, blank = null. */
export interface Check {
    column: string;
    /** True or false, never null. */
    holds: string;
    /** What to tell the user where it does not hold. */
    reason: string;
}

/** `template` with the cell, cut to a readable length, in the place of `{value}`. */
function told(template: string, cell: string): string {
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
const asNumber = (cell: string) => `try_cast(${cell} as double)`;

/** SQL for what must hold of a cell, null (not false) where it is blank, and for what to tell where it does not hold. */
type CellRule = (column: Column, cell: string) => { holds: string; reason: string };

const textRule: CellRule = ({ maxLength, pattern }, cell) => {
    const holds = `length(${cell}) <= ${maxLength}`;
    const reason = told(cellTooLong(maxLength!), cell);
    if (pattern === null) return { holds, reason };
    const code = `printf('U+%04X', unicode(regexp_extract(${cell}, ${literal(`[${re2Class(unseenCharacters)}]`)})))`;
    return {
        holds: `${holds} and regexp_matches(${cell}, ${literal(re2Class(pattern))})`,
        reason: `case when ${holds} then replace(${told(unseenCharacter(), cell)}, '{code}', ${code}) else ${reason} end`,
    };
};

const wordRule: CellRule = ({ words }, cell) => ({
    holds: `${cell} in (${words.map(literal).join(', ')})`,
    reason: told(notAWord(words), cell),
});

const momentRule: CellRule = ({ pattern }, cell) => ({
    holds: `regexp_matches(${cell}, ${literal(pattern!)}) and isfinite(try_cast(left(${cell}, 10) as date))`,
    reason: told(notAMoment(), cell),
});

// DuckDB reads 1_000 and +-1 as numbers, and 1e400, inf and nan, which no range holds.
const numberRule: CellRule = ({ type, min, max, unit }, cell) => {
    const value = asNumber(cell);
    const isNumber = `not contains(${cell}, '_') and not contains(${cell}, '+-')`;
    const isWhole = type === 'integer' ? ` and ${value} = trunc(${value})` : '';
    const mistaken = mistakenNumbers.map(
        ([pattern, message]) =>
            `when regexp_matches(${cell}, ${literal(pattern)}) then ${told(message, cell)}`,
    );
    return {
        holds: `${value} between ${min} and ${max} and ${isNumber}${isWhole}`,
        reason: `case
            when isfinite(${value}) and ${isNumber} and ${value} between ${min} and ${max} then ${told(notWhole(), cell)}
            when isfinite(${value}) and ${isNumber} then ${told(outOfRange(min, max, unit), cell)}
            ${mistaken.join('\n')}
            else ${told(notANumber(), cell)} end`,
    };
};

const rules: Record<Column['type'], CellRule> = {
    text: textRule,
    choice: wordRule,
    datetime: momentRule,
    number: numberRule,
    integer: numberRule,
};

function columnCheck(column: Column): Check {
    const cell = identifier(column.name);
    const { holds, reason } = rules[column.type](column, cell);
    return {
        column: column.name,
        holds: `coalesce(${holds}, ${column.required ? 'false' : `${cell} is null`})`,
        reason: `case when ${cell} is null then ${literal(blankCell())} else ${reason} end`,
    };
}

/** `{column}` in the text as `made` has it. */
function filledIn(text: string, columns: readonly Column[], made: (column: Column) => string): string {
    return columns.reduce((rest, column) => rest.replaceAll(`{${column.name}}`, made(column)), text);
}

/** A rule across columns, as a check of its first column; a cell that is no value breaks no rule. */
function ruleCheck(
    contract: TableContract,
    { columns, sql, reason }: RowRule,
    names: readonly string[],
): Check {
    const own = contract.columns.filter(({ name }) => columns.includes(name));
    const told = own.reduce((rest, { name, blankMeans }) => {
        const blank = blankMeans === null ? 'blank' : `blank (${blankMeans})`;
        const cell = names.includes(name) ? `left(${identifier(name)}, 40)` : 'null';
        return `replace(${rest}, ${literal(`{${name}}`)}, coalesce(${cell}, ${literal(blank)}))`;
    }, literal(reason));
    return {
        column: columns[0]!,
        holds: `coalesce(${filledIn(sql, own, (column) => typedCell(column, names))}, true)`,
        reason: told,
    };
}

/** Every check of the rows of a file that has the columns `names`, in the order of the contract. */
export function rowChecks(contract: TableContract, names: readonly string[]): Check[] {
    const present = contract.columns.filter((column) => names.includes(column.name));
    const groups = contract.atLeastOneOf.map((group): Check => {
        const cells = group.filter((name) => names.includes(name));
        return {
            column: cells[0]!,
            holds: `coalesce(${cells.map(identifier).join(', ')}) is not null`,
            reason: literal(nothingMeasured(group)),
        };
    });
    const rules = contract.rules
        .filter(({ columns }) => columns.some((name) => names.includes(name)))
        .map((rule) => ruleCheck(contract, rule, names));
    return [...present.map(columnCheck), ...groups, ...rules];
}

/** SQL condition for the rows that keep their contract; never null. */
export function validRow(checks: readonly Check[]): string {
    return checks.map((check) => check.holds).join('\n        and ');
}

/** The cell of `column` with its SQL type, for valid rows; null where the file has no such column. */
export function typedCell(column: Column, names: readonly string[]): string {
    if (!names.includes(column.name)) return `cast(null as ${sqlType(column)})`;
    const cell = identifier(column.name);
    if (column.type === 'number') return asNumber(cell);
    if (column.type === 'integer') return `try_cast(${asNumber(cell)} as integer)`;
    return cell;
}

import { type DuckDBType, DuckDBTypeId, type DuckDBValue } from '@duckdb/node-api';

/** What leaves the database: plain JavaScript values only. */
export type Cell = string | number | boolean | null | Cell[] | { [name: string]: Cell };

/** Throws for a whole number beyond those of JavaScript. */
export function safeNumber(value: DuckDBValue): number {
    const number = Number(value);
    if (typeof value === 'bigint' && !Number.isSafeInteger(number)) {
        throw new RangeError(`whole number ${value} does not fit a JavaScript number`);
    }
    return number;
}

const asText = (value: DuckDBValue) => String(value);
const asNumber = (value: DuckDBValue) => safeNumber(value);

const converters: Partial<Record<DuckDBTypeId, (value: DuckDBValue) => Cell>> = {
    [DuckDBTypeId.BOOLEAN]: (value) => value as boolean,
    [DuckDBTypeId.TINYINT]: asNumber,
    [DuckDBTypeId.SMALLINT]: asNumber,
    [DuckDBTypeId.INTEGER]: asNumber,
    [DuckDBTypeId.BIGINT]: asNumber,
    [DuckDBTypeId.UTINYINT]: asNumber,
    [DuckDBTypeId.USMALLINT]: asNumber,
    [DuckDBTypeId.UINTEGER]: asNumber,
    [DuckDBTypeId.UBIGINT]: asNumber,
    [DuckDBTypeId.HUGEINT]: asNumber,
    [DuckDBTypeId.FLOAT]: asNumber,
    [DuckDBTypeId.DOUBLE]: asNumber,
    [DuckDBTypeId.DECIMAL]: (value) => Number(String(value)),
    [DuckDBTypeId.VARCHAR]: (value) => value as string,
    [DuckDBTypeId.ENUM]: (value) => value as string,
    [DuckDBTypeId.DATE]: asText,
    [DuckDBTypeId.TIMESTAMP]: asText,
    [DuckDBTypeId.TIMESTAMP_TZ]: asText,
    [DuckDBTypeId.UUID]: asText,
    [DuckDBTypeId.SQLNULL]: () => null,
};

/** Types whose values are cells as they come. */
const cellTypes: readonly DuckDBTypeId[] = [
    DuckDBTypeId.BOOLEAN,
    DuckDBTypeId.INTEGER,
    DuckDBTypeId.DOUBLE,
    DuckDBTypeId.VARCHAR,
];

/** How a value of `type` becomes a {@link Cell}; one of a type without a rule here throws. */
function converter(type: DuckDBType): (value: DuckDBValue) => Cell {
    if (type.typeId === DuckDBTypeId.LIST) {
        const { valueType } = type as unknown as { valueType: DuckDBType };
        const convert = converter(valueType);
        const areCells = cellTypes.includes(valueType.typeId);
        return (value) => {
            const { items } = value as unknown as { items: DuckDBValue[] };
            if (areCells) return items as Cell[];
            return items.map((item) => (item === null ? null : convert(item)));
        };
    }
    if (type.typeId === DuckDBTypeId.STRUCT) {
        const { entryNames, entryTypes } = type as unknown as {
            entryNames: string[];
            entryTypes: DuckDBType[];
        };
        const convert = entryTypes.map(converter);
        return (value) => {
            const { entries } = value as unknown as { entries: Record<string, DuckDBValue> };
            return Object.fromEntries(
                entryNames.map((name, index) => {
                    const entry = entries[name] ?? null;
                    return [name, entry === null ? null : convert[index]!(entry)];
                }),
            );
        };
    }
    const noRule = () => {
        throw new TypeError(`no rule for SQL type ${String(type)}`);
    };
    return converters[type.typeId] ?? noRule;
}

/** The values of a column of `type` as {@link Cell}s; one of a type without a rule throws. */
export function toCells(type: DuckDBType, values: readonly DuckDBValue[]): Cell[] {
    const convert = converter(type);
    return values.map((value) => (value === null ? null : convert(value)));
}

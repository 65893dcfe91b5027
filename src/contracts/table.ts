import { z } from 'zod';
import type { RowRule } from './rowRule.js';

export type ColumnType = 'text' | 'number' | 'integer' | 'choice' | 'datetime';

/** One column of an input table, read off its zod schema. */
export interface Column {
    name: string;
    type: ColumnType;
    required: boolean;
    description: string;
    unit: string | null;
    blankMeans: string | number | null;
    min: number | null;
    max: number | null;
    maxLength: number | null;
    pattern: string | null;
    words: readonly string[];
}

/** A kind of input file: its zod schema is the single source, everything else is read off it. */
export interface TableContract {
    kind: string;
    title: string;
    grain: string;
    key: readonly string[];
    /** At least one column of each group must be filled. */
    atLeastOneOf: readonly (readonly string[])[];
    /** What must hold across columns. */
    rules: readonly RowRule[];
    schema: z.ZodObject;
    columns: readonly Column[];
    /** Of the columns. */
    names: readonly string[];
}

interface PropertyJson {
    type?: string;
    anyOf?: PropertyJson[];
    enum?: string[];
    pattern?: string;
    minimum?: number;
    maximum?: number;
    maxLength?: number;
    description?: string;
    unit?: string;
    /** Value used when the cell is blank. */
    blankMeans?: string | number;
}

function readColumn(name: string, property: PropertyJson): Column {
    const value = property.anyOf?.find((branch) => branch.type !== 'null') ?? property;
    if (value.description === undefined) throw new TypeError(`column ${name} without description`);
    let type: ColumnType;
    if (value.enum !== undefined) type = 'choice';
    else if (value.pattern !== undefined && value.maxLength === undefined) type = 'datetime';
    else if (value.type === 'integer') type = 'integer';
    else if (value.type === 'number') type = 'number';
    else if (value.type === 'string') type = 'text';
    else throw new TypeError(`column ${name}: no column type for ${JSON.stringify(property)}`);
    return {
        name,
        type,
        required: property.anyOf === undefined,
        description: value.description,
        unit: value.unit ?? null,
        blankMeans: property.blankMeans ?? null,
        min: value.minimum ?? null,
        max: value.maximum ?? null,
        maxLength: value.maxLength ?? null,
        pattern: value.pattern ?? null,
        words: value.enum ?? [],
    };
}

/** Builds a {@link TableContract}; `columns` follow the order of the zod object. */
export function table(
    definition: Omit<TableContract, 'atLeastOneOf' | 'rules' | 'columns' | 'names'> &
        Partial<Pick<TableContract, 'atLeastOneOf' | 'rules'>>,
): TableContract {
    const json = z.toJSONSchema(definition.schema) as { properties: Record<string, PropertyJson> };
    const columns = Object.entries(json.properties).map(([name, property]) => readColumn(name, property));
    return { atLeastOneOf: [], rules: [], ...definition, columns, names: Object.keys(json.properties) };
}

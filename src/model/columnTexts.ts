import { modelFiles } from './sqlFile.js';

/** What the heads of `sql/` say of the columns of each table: the one place of these texts, from which results take them. */
export const columnTexts = (): ReadonlyMap<string, ReadonlyMap<string, string>> =>
    new Map(
        modelFiles().map(({ table, columns }) => [
            table,
            new Map(columns.map(({ name, description }) => [name, description])),
        ]),
    );

/** What the head of its file says of the columns of a model table; undefined for another table. */
export const documentedColumns = (table: string) =>
    modelFiles().find((model) => model.table === table)?.columns;

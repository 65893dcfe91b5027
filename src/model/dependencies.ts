import type { SqlFile } from './sqlFile.js';

/** Tables of `models` that the query of `model` names, itself left out. */
export function madeFrom(model: SqlFile, models: readonly SqlFile[]): SqlFile[] {
    const words = new Set(model.query.replace(/^--.*$/gm, '').match(/\w+/g));
    return models.filter((other) => other.file < model.file && words.has(other.table));
}

/** The model files of `tables` and of all that they are made from, in run order. */
export function neededFor(tables: readonly string[], models: readonly SqlFile[]): SqlFile[] {
    const needed = new Set<SqlFile>();
    const add = (model: SqlFile) => {
        if (needed.has(model)) return;
        needed.add(model);
        madeFrom(model, models).forEach(add);
    };
    models.filter((model) => tables.includes(model.table)).forEach(add);
    return models.filter((model) => needed.has(model));
}

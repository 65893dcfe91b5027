import type { FunctionFile, SqlFile } from './sqlFile.js';

/** A file that makes something of a name: a model table, or a question, which makes no table. */
export type Named = Pick<SqlFile, 'file' | 'query'> & { name: string };

const found = new WeakMap<object, ReadonlySet<string>>();

function words(text: string): Set<string> {
    return new Set(text.replace(/--.*$/gm, '').match(/\w+/g));
}

/** The words of the query of a file, comments left out. */
export function wordsIn(one: { query: string }): ReadonlySet<string> {
    const known = found.get(one) ?? words(one.query);
    found.set(one, known);
    return known;
}

/** Tables of `models` that the query of `model` names, itself left out. */
export function madeFrom(model: SqlFile, models: readonly SqlFile[]): SqlFile[] {
    return models.filter((other) => other.file < model.file && wordsIn(model).has(other.table));
}

function wordsOfAll(texts: Iterable<string>): Set<string> {
    return new Set([...texts].flatMap((text) => [...words(text)]));
}

/** The files of `functions` that `texts` name a function of, and of all that those call, in run order. */
export function functionsFor(texts: Iterable<string>, functions: readonly FunctionFile[]): FunctionFile[] {
    const needed = new Set<FunctionFile>();
    const addNamed = (names: ReadonlySet<string>) => {
        for (const file of functions) {
            if (needed.has(file) || !file.names.some((name) => names.has(name))) continue;
            needed.add(file);
            addNamed(wordsIn(file));
        }
    };
    addNamed(wordsOfAll(texts));
    return functions.filter((file) => needed.has(file));
}

/** Questions of `questions` that must be known before what `needs` holds, names or whole queries, can be asked; in run order. */
export function questionsFor(needs: Iterable<string>, questions: readonly Named[]): Named[] {
    const names = wordsOfAll(needs);
    const needed = new Set<Named>();
    const add = (question: Named) => {
        if (needed.has(question)) return;
        needed.add(question);
        questions.filter(({ name }) => wordsIn(question).has(name)).forEach(add);
    };
    questions.filter(({ name }) => names.has(name)).forEach(add);
    return questions.filter((question) => needed.has(question));
}

/** The model files of the tables that `needs` or `questions` name, and of all that they are made from, in run order. */
export function neededFor(
    needs: Iterable<string>,
    questions: readonly Named[],
    models: readonly SqlFile[],
): SqlFile[] {
    const names = wordsOfAll(needs);
    const needed = new Set<SqlFile>();
    const add = (model: SqlFile) => {
        if (needed.has(model)) return;
        needed.add(model);
        madeFrom(model, models).forEach(add);
    };
    models
        .filter(({ table }) => names.has(table) || questions.some((question) => wordsIn(question).has(table)))
        .forEach(add);
    return models.filter((model) => needed.has(model));
}

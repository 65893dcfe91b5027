const queries = new WeakMap<Error, string>();

/** Waits for `work`, which asks `query`: what it throws can be looked up by {@link failedQuery}, and its stack says who asked. */
export async function asking<T>(query: string, work: () => Promise<T>): Promise<T> {
    // DuckDB's own errors know no stack.
    const asked = new Error();
    try {
        return await work();
    } catch (error) {
        if (error instanceof Error && !queries.has(error)) {
            queries.set(error, query);
            if (!error.stack?.includes('\n    at ')) error.stack += String(asked.stack).replace(/^Error/, '');
        }
        throw error;
    }
}

/** The query that failed with `error`, or with what caused it; undefined where none did. */
export function failedQuery(error: unknown): string | undefined {
    for (let one = error; one instanceof Error; one = one.cause) {
        const query = queries.get(one);
        if (query !== undefined) return query;
    }
    return undefined;
}

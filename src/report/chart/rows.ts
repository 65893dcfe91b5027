/** Rows of objects from columns; shared by the static picture and the browser. */
function toRows(columns: Readonly<Record<string, readonly unknown[]>>): Record<string, unknown>[] {
    const names = Object.keys(columns);
    const count = names.length === 0 ? 0 : columns[names[0]!]!.length;
    return Array.from({ length: count }, (_, index) =>
        Object.fromEntries(names.map((name) => [name, columns[name]![index]])),
    );
}

/** `spec` with the rows put into its named data sources. */
export function withData<S extends { data?: unknown }>(
    spec: S,
    data: Readonly<Record<string, Readonly<Record<string, readonly unknown[]>>>>,
): S {
    const sources = (spec.data ?? []) as { name: string }[];
    return {
        ...spec,
        data: sources.map((source) => {
            const columns = data[source.name];
            return columns === undefined ? source : { ...source, values: toRows(columns) };
        }),
    };
}

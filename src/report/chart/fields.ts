/** Parts of a spec that are visited apart, or where `datum` is a tick of a guide. */
const passedOver = ['layer', 'data', 'axis', 'legend'];

const datumReference = /datum(?:\.([A-Za-z_]\w*)|\[(?:"([^"]+)"|'([^']+)')\])/g;

interface Names {
    used: Set<string>;
    made: Set<string>;
}

function collect(node: unknown, key: string, names: Names): void {
    if (typeof node === 'string') {
        if (key === 'as') names.made.add(node);
        else if (key === 'field' || key === 'groupby' || key === 'fields') names.used.add(node);
        else
            for (const [, plain, double, single] of node.matchAll(datumReference))
                names.used.add((plain ?? double ?? single)!);
    } else if (Array.isArray(node)) {
        for (const item of node) collect(item, key, names);
    } else if (node !== null && typeof node === 'object') {
        for (const [name, value] of Object.entries(node)) {
            if (!passedOver.includes(name)) collect(value, name, names);
        }
    }
}

/**
 * Columns that the layers of a Vega-Lite spec read, per name of the data; what a transform makes is left out.
 * Throws where a layer names no data.
 */
export function usedFields(spec: object): Map<string, Set<string>> {
    const found = new Map<string, Set<string>>();
    const visit = (
        node: { data?: unknown; layer?: readonly object[] },
        above: Names,
        data: string | null,
    ) => {
        const names: Names = { used: new Set(above.used), made: new Set(above.made) };
        collect(node, '', names);
        const name = (node.data as { name?: string } | undefined)?.name ?? data;
        if (node.layer !== undefined) {
            for (const layer of node.layer) visit(layer, names, name);
            return;
        }
        if (name === null) throw new Error('a layer names no data');
        const fields = found.get(name) ?? new Set<string>();
        for (const field of names.used) if (!names.made.has(field)) fields.add(field);
        found.set(name, fields);
    };
    visit(spec, { used: new Set(), made: new Set() }, null);
    return found;
}

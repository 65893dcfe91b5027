import { parseDocument } from 'yaml';
import { z } from 'zod';
import { type ImportMap, importMap } from '../../../contracts/map.js';
import type { PreviewRow } from '../../../contracts/results/map.js';
import type { TableContract } from '../../../contracts/table.js';
import { tableOf } from '../../../contracts/tables.js';
import { ASK } from '../ask.js';
import { bind } from '../bind.js';
import type { Value } from '../cellValue.js';
import { converter } from '../convertRow.js';
import { drops } from '../drops.js';
import type { Layout } from './layout.js';

const ROWS = 8;

const asks = (value: unknown): boolean =>
    value === ASK || (typeof value === 'object' && value !== null && Object.values(value).some(asks));

type RawSource = string | Record<string, unknown>;

/** A source without what is still to be answered: the cells as they stand. */
function bare(source: RawSource): Record<string, unknown> {
    const { column, constant, text, words } = typeof source === 'string' ? { column: source } : source;
    if (column === ASK) return { constant: ASK };
    return Object.fromEntries(
        Object.entries({ column, constant, text, words }).filter(([, value]) => value !== undefined),
    );
}

/** The contract with texts in the place of columns that are not settled yet, and nothing required of them. */
function unsettled(contract: TableContract, names: ReadonlySet<string>): TableContract {
    const anything = Object.fromEntries([...names].map((name) => [name, z.string().nullable()]));
    return {
        ...contract,
        atLeastOneOf: [],
        schema: z.object({ ...contract.schema.shape, ...anything }),
        columns: contract.columns.map((column) =>
            names.has(column.name) ? { ...column, type: 'text', required: false } : column,
        ),
    };
}

interface Draft {
    map: ImportMap;
    /** Our columns that wait for an answer. */
    asked: Set<string>;
    /** Their words for the corners that stand in for an answer. */
    standIns: Map<string, string>;
}

const corners = ['FL', 'FR', 'RL', 'RR'];

function draftOf(text: string): Draft {
    const raw = parseDocument(text).toJS() as {
        columns: Record<string, RawSource>;
        unfold?: Record<string, Record<string, string>>;
    };
    const asked = new Set(
        Object.entries(raw.columns)
            .filter(([, source]) => asks(source))
            .map(([name]) => name),
    );
    const words = Object.keys(raw.unfold?.corner ?? {});
    const standIns = new Map<string, string>();
    if (asks(raw.unfold)) {
        asked.add('corner');
        for (const [i, word] of words.slice(0, corners.length).entries()) standIns.set(corners[i]!, word);
    }
    const corner = Object.fromEntries([...standIns].map(([standIn, word]) => [word, standIn]));
    const unfold = standIns.size === 0 ? raw.unfold : { ...raw.unfold, corner };
    const columns = Object.entries(raw.columns).map(([name, source]) => [
        name,
        asked.has(name) ? bare(source) : source,
    ]);
    const map = importMap.parse({ ...raw, unfold, columns: Object.fromEntries(columns) });
    return { map, asked, standIns };
}

/** The first rows of a file as they would load with a map whose questions are not answered yet: those cells as they stand. */
export function previewRows(
    file: string,
    mapText: string,
    layout: Layout,
): { rows: PreviewRow[]; asked: string[] } {
    const { map, asked, standIns } = draftOf(mapText);
    const contract = unsettled(tableOf(map.kind), asked);
    const binding = bind(map, 'the map', layout.names, { file, line: layout.skipLines + 1 }, contract);
    const { names, convert } = converter(map, binding);
    const isDropped = drops(map, binding.dropIndex);
    const shown = (name: string, value: Value) =>
        (name === 'corner' ? standIns.get(String(value)) : undefined) ?? value;
    const rows: PreviewRow[] = [];
    for (const { line, text, cells } of layout.rows) {
        if (rows.length >= ROWS) break;
        if (isDropped(text, cells) || cells.length < layout.names.length) continue;
        const { rows: taken, rejects } = convert(cells);
        rows.push(
            ...taken.map((values) => ({
                line,
                problem: null,
                values: Object.fromEntries(names.map((name, i) => [name, shown(name, values[i]!)])),
            })),
            ...rejects.map(({ at, reason }) => ({
                line,
                problem: `${at ?? ''} ${reason}`.trim(),
                values: {},
            })),
        );
    }
    return { rows: rows.slice(0, ROWS), asked: [...asked] };
}

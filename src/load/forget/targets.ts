import { z } from 'zod';
import type { TableContract } from '../../contracts/table.js';
import { tableOf, tables } from '../../contracts/tables.js';
import { type Database, identifier, literal } from '../../db/database.js';
import { voidedTable } from '../../db/schema.js';
import { UsageError, UserError } from '../../errors/errors.js';
import { noCondition, nothingStands, severalLoads, unknownKindNamed } from '../../errors/forgetMessages.js';
import { keyCell } from '../keySql.js';
import { countOf } from './countOf.js';
import { type NamedLoad, namedLoads, noSuchLoad } from './namedLoads.js';

/** Rows of one kind that are asked for. */
export interface Asked {
    contract: TableContract;
    /** SQL condition over the rows of the kind. */
    condition: string;
    /** The rows are all that stand of a file. */
    withFile: boolean;
}

export interface Question {
    /** FILE, or the number of a load, and with :LINE or :FIRST-LAST a part of it. */
    targets: readonly string[];
    /** COLUMN=VALUE, all of which must hold. */
    where: readonly string[];
    /** Kind of the rows; without it, that of the files, else readings. */
    kind?: string | undefined;
}

interface Lines {
    name: string;
    lines: { first: number; last: number } | null;
}

/** `FILE:12`, `FILE:12-20` and `FILE line 12`, as check and rejects print the place of a row. */
function withLines(target: string): Lines {
    const found = /^(.+?)(?::| line )(\d{1,9})(?:-(\d{1,9}))?$/s.exec(target);
    if (found === null) return { name: target, lines: null };
    const first = Number(found[2]);
    return { name: found[1]!, lines: { first, last: Number(found[3] ?? first) } };
}

function ofLoad({ load_id }: NamedLoad, { lines }: Lines): string {
    const place = lines === null ? '' : ` and source_line between ${lines.first} and ${lines.last}`;
    return `load_id = ${load_id}${place}`;
}

/** Why no row stands at a place of these loads. */
async function nothingAt(db: Database, target: string, loads: readonly NamedLoad[], part: Lines) {
    for (const load of loads) {
        const voided = await db.rows(
            z.object({ voiding_id: z.int() }),
            `select max(voiding_id) as voiding_id from ${identifier(voidedTable(load.kind))}
            where ${ofLoad(load, part)} and brought_back_at is null
            having count(*) > 0`,
        );
        if (voided.length > 0) return nothingStands(target, { voidingId: voided[0]!.voiding_id });
    }
    const lines = part.lines === null ? '' : `and line between ${part.lines.first} and ${part.lines.last}`;
    const ids = loads.map(({ load_id }) => load_id).join(', ');
    const rejected = await countOf(db, `rejects where cleared_by is null and load_id in (${ids}) ${lines}`);
    return nothingStands(target, rejected > 0 ? { rejected: true } : {});
}

interface Place {
    load: NamedLoad;
    part: Lines;
}

/** The load and the part of it that `target` means; a {@link UserError} where that is not one load of which rows stand there. */
async function placeOf(db: Database, target: string): Promise<Place> {
    let part: Lines = { name: target, lines: null };
    let loads = await namedLoads(db, target);
    if (loads.length === 0) {
        part = withLines(target);
        loads = part.lines === null ? [] : await namedLoads(db, part.name);
    }
    if (loads.length === 0) throw await noSuchLoad(db, part.name);
    const standing: NamedLoad[] = [];
    for (const load of loads) {
        const row_count = await countOf(db, `${identifier(load.kind)} where ${ofLoad(load, part)}`);
        if (row_count > 0) standing.push({ ...load, row_count });
    }
    if (standing.length === 0) throw new UserError(await nothingAt(db, target, loads, part));
    if (standing.length > 1)
        throw new UserError(severalLoads(target, standing, target.slice(part.name.length)));
    return { load: standing[0]!, part };
}

/** SQL condition for `COLUMN=VALUE`; VALUE blank: the cell is blank, which in a key stands for the value that blank means. */
function conditionOf(contract: TableContract, text: string): string {
    const at = text.indexOf('=');
    const name = text.slice(0, Math.max(at, 0)).trim().toLowerCase();
    const value = text.slice(at + 1).trim();
    const column = contract.columns.find((one) => one.name === name);
    const isNumber = column?.type === 'number' || column?.type === 'integer';
    if (at === -1 || column === undefined || (isNumber && value !== '' && !Number.isFinite(Number(value)))) {
        throw new UsageError(noCondition(text, contract.kind, column === undefined ? contract.names : null));
    }
    const cell = contract.key.includes(name) ? keyCell(contract, name) : identifier(name);
    if (value === '') return `${identifier(name)} is null`;
    return `${cell} = ${isNumber ? Number(value) : literal(value)}`;
}

/**
 * What a question asks for, by kind; throws a {@link UserError} where it names nothing that stands, and a {@link UsageError} where it is
 * none.
 */
export async function askedRows(db: Database, { targets, where, kind }: Question): Promise<Asked[]> {
    const kinds = tables.map((contract) => contract.kind);
    if (kind !== undefined && !kinds.includes(kind)) throw new UsageError(unknownKindNamed(kind, kinds));
    const places: Place[] = [];
    for (const target of targets) places.push(await placeOf(db, target));
    const named = new Set(places.map(({ load }) => load.kind));
    const asked = targets.length > 0 ? [...named] : [kind ?? 'readings'];
    return asked
        .filter((one) => kind === undefined || one === kind)
        .map((one): Asked => {
            const contract = tableOf(one);
            const ofKind = places.filter(({ load }) => load.kind === one);
            const parts = ofKind.map(({ load, part }) => `(${ofLoad(load, part)})`);
            const conditions = [
                ...(parts.length > 0 ? [`(${parts.join(' or ')})`] : []),
                ...where.map((text) => conditionOf(contract, text)),
            ];
            return {
                contract,
                condition: conditions.join(' and '),
                withFile:
                    where.length === 0 && parts.length > 0 && ofKind.every(({ part }) => part.lines === null),
            };
        });
}

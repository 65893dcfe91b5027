import type { TableContract } from '../contracts/table.js';
import { tables } from '../contracts/tables.js';
import { UserError } from '../errors/errors.js';
import {
    brokenHeader,
    headerOnly,
    headerUnfit,
    lineTooLong,
    otherDelimiter,
    unknownKind,
    unnamedColumn,
} from '../errors/loadMessages.js';
import { csvCells, isBlankRecord, isSeparatorHint } from './csvCells.js';
import { unreadColumns } from './exported.js';
import { nearestName } from './nearestName.js';
import { malformed, RecordScanner } from './records.js';
import { type Source, SourcePass } from './source.js';

/** The header row of a file, fitted to a contract. */
export interface Header {
    /** Physical line of the header row. */
    line: number;
    /** The row as it stands in the file. */
    text: string;
    contract: TableContract;
    /** Contract column of each column of the file, in the order of the file. */
    names: string[];
    /** Cells of the header row: as many as `names`, and more where a spreadsheet put nameless columns behind them. */
    width: number;
}

interface FirstRecord {
    text: string;
    line: number;
    broken: boolean;
}

async function firstRecord(source: Source): Promise<FirstRecord> {
    let first: FirstRecord | undefined;
    const scanner = new RecordScanner((bytes, start, end, line, _cells, traits) => {
        if (first !== undefined) return;
        const text = bytes.toString('utf8', start, end);
        if (!isBlankRecord(text) && !isSeparatorHint(text))
            first = { text, line, broken: (traits & malformed) !== 0 };
    });
    for await (const chunk of new SourcePass(source).chunks(64 * 1024)) {
        scanner.push(chunk, chunk.length === 0);
        if (first !== undefined) return first;
        if (scanner.pending > MAX_LINE_BYTES) throw new UserError(lineTooLong(source.file, scanner.line));
    }
    throw new UserError(headerOnly(source.file));
}

/** A longer line means that the file is no table of ours; it is not kept in memory to look further. */
export const MAX_LINE_BYTES = 16 * 1024 * 1024;

/** Of a header with more unknown columns, only the first are compared with the known ones. */
const MAX_GUESSES = 40;

/** What keeps a header from fitting a contract. */
interface Misfit {
    unknown: string[];
    missing: string[];
    repeated: string[];
}

function misfit(names: readonly string[], contract: TableContract): Misfit {
    const known = [...contract.names, ...unreadColumns(names)];
    const isLacking = (name: string) => !names.includes(name);
    return {
        unknown: names.filter((name) => !known.includes(name)),
        missing: [
            ...contract.columns
                .filter(({ name, required }) => required && isLacking(name))
                .map(({ name }) => name),
            ...contract.atLeastOneOf
                .filter((group) => group.every(isLacking))
                .map((group) => group.join(' or ')),
        ],
        repeated: known.filter((name) => names.indexOf(name) !== names.lastIndexOf(name)),
    };
}

/** The faults with the column of the contract that each unknown one most likely means. */
function guessed(
    names: readonly string[],
    { contract, faults }: { contract: TableContract; faults: Misfit },
) {
    const unused = contract.names.filter((name) => !names.includes(name));
    const unknown = faults.unknown.map((name, index) => ({
        name,
        nearest: index < MAX_GUESSES ? nearestName(name, unused) : null,
    }));
    const near = unknown.filter(({ nearest }) => nearest !== null).length;
    // Columns that the contract knows, those a few letters off by half, less a little for each that it misses.
    const likeness = names.length - unknown.length + near / 2 - faults.missing.length / 10;
    return { contract, faults: { ...faults, unknown }, likeness };
}

const kinds = tables.map(({ kind, columns }) => ({
    kind,
    required: columns.filter((column) => column.required).map((column) => column.name),
}));

function chooseContract(
    source: Source,
    line: number,
    names: string[],
    kind: string | undefined,
): TableContract {
    const candidates = tables
        .filter((contract) => kind === undefined || contract.kind === kind)
        .map((contract) => ({ contract, faults: misfit(names, contract) }));
    const fitting = candidates.filter(({ faults }) =>
        Object.values(faults).every((some) => some.length === 0),
    );
    if (fitting.length === 1) return fitting[0]!.contract;
    const [closest] = candidates.map((one) => guessed(names, one)).sort((a, b) => b.likeness - a.likeness);
    if (closest === undefined) {
        const known = kinds.map((one) => one.kind);
        throw new UserError(unknownKind(kind!, known));
    }
    const { contract, faults } = closest;
    const strange = kind === undefined && faults.unknown.length === names.length;
    const listed = kind === undefined ? kinds : [];
    throw new UserError(headerUnfit(source.file, line, strange ? null : contract.kind, faults, listed));
}

/**
 * Reads the header row and says what kind of file it is: names are matched exactly but for case and white space at the
 * ends, in any order; nameless columns at the end are left out, and so is a first line `sep=,`. `kind` forces the kind. Throws a {@link UserError} that names every column at fault.
 */
export async function readHeader(source: Source, kind?: string): Promise<Header> {
    const { text, line, broken } = await firstRecord(source);
    if (broken) throw new UserError(brokenHeader(source.file, line));
    const names = csvCells(text).map((name) => name.toLowerCase());
    const delimiter = [';', '\t', '|'].find((other) => names.length === 1 && names[0]!.includes(other));
    if (delimiter !== undefined) throw new UserError(otherDelimiter(source.file, line, delimiter));
    const width = names.length;
    while (names.at(-1) === '') names.pop();
    const unnamed = names.indexOf('');
    if (unnamed !== -1) throw new UserError(unnamedColumn(source.file, line, unnamed + 1));
    return { line, text, names, width, contract: chooseContract(source, line, names, kind) };
}

import type { Column, TableContract } from '../contracts/table.js';
import { identifier, literal } from '../db/database.js';

/** `column` as the key compares it: blank stands for the value that the contract gives it, else for itself. */
export function keyCell(contract: TableContract, name: string): string {
    const blank = contract.columns.find((column) => column.name === name)!.blankMeans;
    if (blank === null) return identifier(name);
    return `coalesce(${identifier(name)}, ${typeof blank === 'number' ? blank : literal(blank)})`;
}

export function keyCells(contract: TableContract): string[] {
    return contract.key.map((name) => keyCell(contract, name));
}

export function contentColumns(contract: TableContract): Column[] {
    return contract.columns.filter((column) => !contract.key.includes(column.name));
}

/** 64-bit hash of the key, for finding rows that may share one. */
export function keyHash(contract: TableContract): string {
    return `hash(${keyCells(contract).join(', ')})`;
}

/** 64-bit hash of everything but the key: rows of one key with the same hash are the same row. */
export function contentHash(contract: TableContract): string {
    return `hash(${contentColumns(contract)
        .map((column) => identifier(column.name))
        .join(', ')})`;
}

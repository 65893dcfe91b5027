import type { TableContract } from '../contracts/table.js';
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

/** The cells of the key as columns `key_0`, `key_1`, ... */
export function numberedKeys(contract: TableContract): string {
    return keyCells(contract)
        .map((cell, i) => `${cell} as key_${i}`)
        .join(', ');
}

/** SQL condition for rows of `one` and `other` with the same {@link numberedKeys}. */
export function sameKey({ key }: TableContract, one: string, other: string): string {
    return key.map((_, i) => `${one}.key_${i} is not distinct from ${other}.key_${i}`).join(' and ');
}

/** Columns besides the key. */
export const contentNames = ({ names, key }: TableContract) => names.filter((name) => !key.includes(name));

/** 64-bit hash of the key, for finding rows that may share one. */
export const keyHash = (contract: TableContract) => `hash(${keyCells(contract).join(', ')})`;

/** 64-bit hash of everything but the key: rows of one key with the same hash are the same row. */
export function contentHash(contract: TableContract): string {
    return `hash(${contentNames(contract).map(identifier).join(', ')})`;
}

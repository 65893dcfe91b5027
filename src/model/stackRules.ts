import type { Database } from '../db/database.js';
import { UsageError } from '../errors/errors.js';
import { notACount, unknownRule, unreadableRule, wishReversed } from '../errors/messages.js';
import { type DocumentedColumn, modelFiles } from './sqlFile.js';

/** Rules of a sound stack that differ from the usual ones, by name. */
export type ChangedRules = Readonly<Record<string, number>>;

/** The rules as table `stack_rules` documents them. */
export function stackRules(): DocumentedColumn[] {
    return modelFiles().find(({ table }) => table === 'stack_rules')!.columns;
}

/** Reads `NAME=VALUE` texts, the last one of a name counts; throws a {@link UsageError} on a name or number that is none. */
export function readRules(texts: readonly string[]): ChangedRules {
    const rules = stackRules();
    const known = rules.map(({ name }) => name);
    return Object.fromEntries(
        texts.map((text) => {
            const [, name, value] = /^\s*(\w+)\s*=\s*(\d+(?:\.\d+)?)\s*$/.exec(text) ?? [];
            if (name === undefined || Number(value) > 100) throw new UsageError(unreadableRule(text, known));
            const rule = rules.find((one) => one.name === name);
            if (rule === undefined) throw new UsageError(unknownRule(name, known));
            const number = Number(value);
            if (rule.type === 'INTEGER' && !(Number.isInteger(number) && number >= 1)) {
                throw new UsageError(notACount(name));
            }
            return [name, number];
        }),
    );
}

/** SQL for the parameter `$changed`, the JSON text of {@link ChangedRules}. */
export const changedRules = 'cast($changed::json as map(varchar, double))';

/** Throws a {@link UsageError} when the rules contradict each other. */
export async function requireRules(db: Database, changed: ChangedRules): Promise<void> {
    const reversed = await db.cells(
        `select 1 from changed_rules(${changedRules}) where wish_margin_low_mm > wish_margin_high_mm`,
        { changed: JSON.stringify(changed) },
    );
    if (reversed.length > 0) throw new UsageError(wishReversed());
}

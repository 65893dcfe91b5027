import type { Database } from '../db/database.js';
import { checkFailed } from '../errors/messages.js';
import { check } from './check.js';
import { checks, SUSPECTS } from './checks.js';

/**
 * Makes the temporary tables `suspects`, what the command `check` lists with the angle that each finding is about, and
 * `failed_checks`, the sentence on each check that failed: the page of check asks them.
 */
export async function gatherSuspects(db: Database, asked = checks()): Promise<void> {
    const { groups, rows, angles, failures } = await check(db, {}, asked);
    const titles = new Map(groups.map(({ check: { name, title } }) => [name, title]));
    const found = rows.map((row, at) => ({ ...row, ...angles[at], title: titles.get(row.check) }));
    const failed = failures.map(({ check: name, error }) => ({
        check: name,
        failure: checkFailed(name, error.message),
    }));
    const text = (names: string, type = 'VARCHAR') => names.split(' ').map((name) => `"${name}":"${type}"`);
    const columns = [
        ...text(
            'check title likely mend chassis vehicle corner visit finding explained_by file angle expected_of',
        ),
        ...text('p_mistake read_deg expected_deg limit_deg', 'DOUBLE'),
        ...text('line', 'INTEGER'),
    ];
    await db.run(
        `create or replace temp table ${SUSPECTS} as
        select unnest(from_json($found::json, '[{${columns.join()}}]'), recursive := true)`,
        { found: JSON.stringify(found) },
    );
    await db.run(
        `create or replace temp table failed_checks as
        select unnest(from_json($failed::json, '[{${text('check failure').join()}}]'), recursive := true)`,
        { failed: JSON.stringify(failed) },
    );
}

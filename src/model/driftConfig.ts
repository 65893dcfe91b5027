import { readFileSync, statSync } from 'node:fs';
import { LineCounter, parseDocument } from 'yaml';
import { type DriftConfig, driftConfig } from '../contracts/driftConfig.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { configUnfit, configUnreadable, noConfigFile, sharesLeaveNothing } from '../errors/messages.js';
import { carCauses, cornerCauses } from '../stats/drift/causes/index.js';
import { createFunctions } from './build.js';
import { makeTemporary } from './buildTable.js';
import { groundsOf, madeFrom, neededFor } from './dependencies.js';
import { driftNeeds } from './drift.js';
import type { SqlFile } from './sqlFile.js';

/** Reads a config file (YAML, of which JSON is a part). Throws a {@link UserError} that names line and entry at fault. */
export function readDriftConfig(file: string): DriftConfig {
    let text: string;
    try {
        // A pipe or device may never end.
        if (!statSync(file).isFile())
            throw new UserError(noConfigFile(file, 'it is a folder, pipe or device'));
        text = readFileSync(file, 'utf8');
    } catch (error) {
        if (error instanceof UserError) throw error;
        const { code } = error as NodeJS.ErrnoException;
        throw new UserError(
            noConfigFile(file, code === 'ENOENT' ? 'there is no such file' : (code ?? String(error))),
        );
    }
    const lines = new LineCounter();
    const document = parseDocument(text, { lineCounter: lines });
    const [broken] = document.errors;
    if (broken !== undefined) {
        throw new UserError(
            configUnreadable(file, lines.linePos(broken.pos[0]).line, broken.message.split('\n')[0]!),
        );
    }
    const parsed = driftConfig.safeParse(document.toJS() ?? {});
    if (parsed.success) return parsed.data;
    const issue = parsed.error.issues[0]!;
    const node = document.getIn(issue.path as string[], true) as
        | { range?: [number, number, number] }
        | undefined;
    const line = node?.range === undefined ? null : lines.linePos(node.range[0]).line;
    throw new UserError(configUnfit(file, line, issue.path.join('.'), issue.message));
}

const namesOf = (causes: readonly { name: string }[]) =>
    causes.flatMap(({ name }) => (name === 'held' ? [] : [name])).join(', ');

/** Tables that the drift command needs and that odds and rules decide. */
async function decided(db: Database): Promise<SqlFile[]> {
    const found = new Set(['drift_causes', 'drift_rules']);
    const models: SqlFile[] = [];
    for (const model of await neededFor(db, driftNeeds)) {
        const sources = await madeFrom(db, model);
        if (!sources.some(({ table }) => found.has(table))) continue;
        found.add(model.table);
        models.push(model);
    }
    return models;
}

/**
 * Puts the odds and rules of `config` in the place of the built-in ones for this connection: temporary tables hide those of the database, which stays as it is. Throws a {@link UserError} when the shares leave nothing.
 */
export async function applyDriftConfig(db: Database, config: DriftConfig, file: string): Promise<void> {
    const shares = { ...config.corner_shares, ...config.car_shares } as Record<string, number | undefined>;
    await db.run(
        `create or replace temp table drift_causes as
        with chosen as (
            select causes.* replace (
                coalesce(try_cast(json_extract_string($shares::json, '$.' || cause) as double), prior_share) as prior_share,
                coalesce($prior_count::double, prior_count) as prior_count
            )
            from main.drift_causes as causes
        )
        select chosen.* replace (
            case
                when cause in ('held', 'none')
                then 1 - sum(case when cause in ('held', 'none') then 0 else prior_share end) over (partition by level)
                else prior_share
            end as prior_share
        )
        from chosen`,
        { shares: JSON.stringify(shares), prior_count: config.prior_count ?? null },
    );
    const left = await db.cells(`select level from drift_causes where prior_share <= 0`);
    if (left.length > 0) {
        throw new UserError(
            sharesLeaveNothing(file, namesOf(left[0]!.level === 'car' ? carCauses : cornerCauses)),
        );
    }
    await db.run(
        `create or replace temp table drift_rules as
        select
            coalesce($min_moved::double, min_moved) as min_moved,
            coalesce($min_class::double, min_class) as min_class,
            coalesce($min_held::double, min_held) as min_held,
            coalesce($false_discovery_rate::double, false_discovery_rate) as false_discovery_rate
        from main.drift_rules`,
        {
            min_moved: config.min_moved ?? null,
            min_class: config.min_class ?? null,
            min_held: config.min_held ?? null,
            false_discovery_rate: config.false_discovery_rate ?? null,
        },
    );
    const models = await decided(db);
    // They are made here, by what a database whose tables are there may not have needed.
    const { functions } = await groundsOf(
        db,
        models.map(({ query }) => query),
    );
    await createFunctions(db, functions);
    for (const model of models) await makeTemporary(db, model);
}

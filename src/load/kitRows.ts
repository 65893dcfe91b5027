import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { kits } from '../contracts/kits.js';
import { Database, identifier } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { kitFileFaulty, noKitInFile } from '../errors/shareMessages.js';
import { loadFiles } from './loadFiles.js';
import { listRejects } from './rejects.js';

type KitRow = Readonly<Record<string, string | number | null>>;

/** The rows of a kits file that keep the contract; a {@link UserError} unless all do, and there are some. */
export async function kitRows(file: string): Promise<KitRow[]> {
    const folder = mkdtempSync(join(tmpdir(), 'strutmark-kits-'));
    const place = join(folder, 'kits.duckdb');
    try {
        const { refused } = await loadFiles([file], place, { kind: 'kits' });
        if (refused.length > 0) throw new UserError(refused[0]!.reason);
        const db = await Database.open({ file: place, mode: 'read' });
        try {
            const [reject] = await listRejects(db);
            if (reject !== undefined) throw new UserError(kitFileFaulty(file, reject));
            const rows = (await db.cells(
                `select ${kits.names.map(identifier).join(', ')} from kits`,
            )) as KitRow[];
            if (rows.length === 0) throw new UserError(noKitInFile(file));
            return rows;
        } finally {
            db.close();
        }
    } finally {
        rmSync(folder, { recursive: true, force: true });
    }
}

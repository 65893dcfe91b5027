import { createHash } from 'node:crypto';
import { readdirSync, realpathSync, statSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { UserError } from '../../errors/errors.js';
import { fileOutsideFolder, folderUnreadable, folderWithoutParquet } from '../../errors/folderMessages.js';

/** The Parquet files of a folder and all folders in it. */
export interface ParquetFiles {
    /** As it was named. */
    name: string;
    /** Its full path without links. */
    folder: string;
    /** Full paths, sorted. */
    files: readonly string[];
    /** Changes with any name, size or time of change of a file. */
    state: string;
}

/** Lists the Parquet files of `folder`. Throws a {@link UserError} when there are none, or one is a link to elsewhere. */
export function parquetFiles(folder: string): ParquetFiles {
    let root: string;
    let names: string[];
    try {
        root = realpathSync(folder);
        names = readdirSync(root, { recursive: true, encoding: 'utf8' })
            .filter((name) => name.toLowerCase().endsWith('.parquet'))
            .sort();
    } catch (error) {
        throw new UserError(folderUnreadable(folder, (error as NodeJS.ErrnoException).code ?? String(error)));
    }
    if (names.length === 0) throw new UserError(folderWithoutParquet(folder));
    const hash = createHash('sha256').update(root);
    const files = names.map((name) => {
        const file = join(root, name);
        const { size, mtimeNs } = statSync(file, { bigint: true });
        if (relative(root, realpathSync(file)).startsWith(`..${sep}`)) {
            throw new UserError(fileOutsideFolder(file, folder));
        }
        hash.update(`${name} ${size} ${mtimeNs};`);
        return file;
    });
    return { name: folder, folder: root, files, state: hash.digest('hex') };
}

import { existsSync, writeFileSync } from 'node:fs';
import type { MapRow } from '../../contracts/results/map.js';
import { UserError } from '../../errors/errors.js';
import { mapExists, noTable } from '../../errors/messages.js';
import { writing } from '../../errors/writing.js';
import { fileText } from './guess/fileText.js';
import { guessMap } from './guess/guessMap.js';
import { layoutOf } from './guess/layout.js';
import { previewRows } from './guess/preview.js';
import { questionsOf } from './readMap.js';

/**
 * Guesses a map for `file`, with the questions that only the user can answer and the first rows as they would load, and
 * writes it to `to` where that is given. Throws a {@link UserError} where the file holds no table or `to` exists.
 */
export function draftMap(file: string, to?: string): MapRow & { asked: string[] } {
    if (to !== undefined && existsSync(to)) throw new UserError(mapExists(to), 'cannot_write');
    const source = fileText(file);
    const layout = layoutOf(source.text);
    if (layout.names.length < 2 || layout.rows.length === 0) throw new UserError(noTable(file));
    const map = guessMap(file, source, layout);
    const { rows, asked } = previewRows(file, map, layout);
    if (to !== undefined) writing(to, () => writeFileSync(to, map, { flag: 'wx' }));
    return { file, map_file: to ?? null, map, questions: questionsOf(map), preview: rows, asked };
}

// Builds every model table of DB that is not up to date; a second argument limits DuckDB's memory.
import { fromDist } from './fromDist.js';

const [file, memoryLimit] = process.argv.slice(2);
const { Database } = await fromDist<typeof import('../../src/db/database.js')>('db/database.js');
const { ensureModel } = await fromDist<typeof import('../../src/model/build.js')>('model/build.js');
const db = await Database.open({
    file: file!,
    mode: 'write',
    ...(memoryLimit === undefined ? {} : { memoryLimit }),
});
await ensureModel(db);
db.close();

// Builds every model table of DB that is not up to date; a second argument limits DuckDB's memory.
import { openModel } from '../../src/model/openModel.js';

const [file, memoryLimit] = process.argv.slice(2);
const db = await openModel(file!, { memoryLimit });
db.close();

// The least that reading FILE... into the database DB can cost: untyped columns, nothing checked.
import { DuckDBInstance } from '@duckdb/node-api';

const [db, ...files] = process.argv.slice(2);
const instance = await DuckDBInstance.create(db!);
const connection = await instance.connect();
const list = files.map((file) => `'${file}'`).join(', ');
await connection.run(
    `create table readings as select * from read_csv([${list}], header = true, all_varchar = true)`,
);
connection.closeSync();
instance.closeSync();

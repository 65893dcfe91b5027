import { type ForgottenRow, forgottenRow } from '../../contracts/results/forget.js';
import type { TableContract } from '../../contracts/table.js';
import { type Database, literal } from '../../db/database.js';
import { keyCell } from '../keySql.js';

/** SQL for the key of a row as text: `vehicle=A,corner=FL,...`. */
function keyText(contract: TableContract): string {
    const cells = contract.key.map(
        (name) => `${literal(`${name}=`)} || coalesce(cast(${keyCell(contract, name)} as varchar), '')`,
    );
    return cells.join(" || ',' || ");
}

/** Rows as a result lists them; `from`: what stands behind FROM, with the columns of the kind, voiding_id, status and taken_by. */
export async function listRows(db: Database, contract: TableContract, from: string): Promise<ForgottenRow[]> {
    const rows = await db.cells(
        `select
            voiding_id,
            ${literal(contract.kind)} as kind,
            source_file as file,
            source_line as line,
            load_id,
            ${keyText(contract)} as key,
            status,
            taken_by
        from ${from}
        order by load_id, source_line, key`,
    );
    return rows.map(({ taken_by, ...row }) =>
        forgottenRow.parse(taken_by === null ? row : { ...row, taken_by }),
    );
}

import { programName } from '../../src/errors/programName.js';
import { type Block, type Column, table } from '../../src/report/blocks.js';
import { capital } from '../../src/units/capital.js';
import type { Slope } from './rows.js';
import { angle, direction } from './words.js';

function remark(row: Slope): string | null {
    return row.flag ?? row.reason;
}

/** All slopes of the page; why a number is missing or implausible stands once below, by number. */
export function slopesTable(rows: readonly Slope[]): Block[] {
    const remarks = [...new Set(rows.map(remark).filter((text) => text !== null))];
    const place = (text: string | null) => (text === null ? '' : String(remarks.indexOf(text) + 1));
    const columns: Column<Slope>[] = [
        { title: 'chassis', value: (row) => row.chassis },
        { title: 'angle', value: (row) => angle[row.response] },
        { title: 'axis', value: (row) => direction[row.axis] },
        { title: 'own slope, °/mm', value: (row) => row.estimate_deg_per_mm, digits: 4 },
        { title: '95 % low', value: (row) => row.conf_low_deg_per_mm, digits: 4 },
        { title: '95 % high', value: (row) => row.conf_high_deg_per_mm, digits: 4 },
        { title: 'df', value: (row) => row.df, digits: 1 },
        { title: 'moves', value: (row) => row.move_count },
        { title: 'cars', value: (row) => row.vehicle_count },
        { title: 'shrunken, °/mm', value: (row) => row.shrunk_deg_per_mm, digits: 4 },
        { title: 'its std error', value: (row) => row.shrunk_std_error_deg_per_mm, digits: 4 },
        { title: 'effective length, mm', value: (row) => row.effective_length_mm, digits: 0 },
        { title: 'reliability', value: (row) => row.reliability, digits: 3 },
        { title: 'remark', value: (row) => place(remark(row)) },
    ];
    const shown = new Set(rows.map((row) => row.chassis)).size;
    const count = rows[0]!.chassis_count;
    const caption =
        shown === count
            ? `Slopes of ${count} chassis`
            : `Slopes of the ${shown} chassis with the most moves, of ${count}; ${programName()} export slopes writes all`;
    return [
        table(`${caption}. A dash: cannot be estimated, for the reason in the remark.`, rows, columns),
        ...remarks.map((text): Block => ({ kind: 'paragraph', text: `${place(text)}. ${capital(text)}.` })),
    ];
}

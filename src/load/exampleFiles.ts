import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { InitRow } from '../contracts/results/start.js';
import type { TableContract } from '../contracts/table.js';
import { tables } from '../contracts/tables.js';
import { UserError } from '../errors/errors.js';
import { programName } from '../errors/programName.js';
import { wouldOverwrite } from '../errors/startMessages.js';
import { csvCells, quotedCell } from './csvCells.js';

const invented = 'invented example: replace this row';

/** Two rows of each kind of file, all invented, with the columns that they fill; they load as they are. */
const examples: Readonly<Record<string, string>> = {
    readings: `vehicle,chassis,corner,measured_at,visit,visit_kind,phase,kit,plate_index,mark_1,camber_deg,caster_deg,toe_deg,gauge,technician,target,note
example car,EXAMPLE,FL,2026-03-01T10:00,example job 1,adjust,after,EXAMPLE-KIT,1,0,-0.95,7.1,0.05,example gauge,example technician,example street,${invented}
example car,EXAMPLE,FR,2026-03-01T10:00,example job 1,adjust,after,EXAMPLE-KIT,1,0,-1.05,6.9,0.05,example gauge,example technician,example street,${invented}`,
    kits: `kit,axis_deg,mark_pitch_mm,mark_min,mark_max,mark2_min,mark2_max,centre_out_mm,centre_aft_mm,bearing,note
EXAMPLE-KIT,0,2,-5,5,,,0,2,isolated_spherical,${invented}
EXAMPLE-TWO-SCALES,0,1.5,-6,6,-4,4,,,solid_spherical,${invented}`,
    targets: `target,camber_deg,camber_tol_deg,caster_deg,caster_tol_deg,toe_deg,toe_tol_deg
example street,-1,0.15,7,0.5,0.05,0.05
example track,-1.6,0.15,7,0.5,0,0.05`,
    sessions: `session,vehicle,started_at,surface,laps,distance_km,note
example session 1,example car,2026-03-07T09:00,track,20,80,${invented}
example session 2,example car,2026-03-07T14:00,track,15,60,${invented}`,
    shafts: `shaft,seat_diameter_mm,shoulder_length_mm,thread_length_mm,note
EXAMPLE-12,12,30,24,${invented}
EXAMPLE-14,14,36,24,${invented}`,
    hardware: `kit,part,role,fits_diameter_mm,height_mm,drop_mm,note
EXAMPLE-KIT,example bearing,bearing,14,20,5,${invented}
EXAMPLE-KIT,example spacer,spacer,14,8,,${invented}`,
    references: `gauge,angle,measured_at,reference,reference_deg,reference_uncertainty_deg,reading_deg,note
example gauge,camber,2026-03-01T08:00,example block,0,0.02,0.03,${invented}
example gauge,camber,2026-03-01T08:05,example block,-2,0.02,-1.98,${invented}`,
    changes: `vehicle,changed_at,corner,what,note
example car,2026-02-20T09:00,,height,345 to 327 mm; ${invented}
example car,2026-02-21T09:00,FL,damper,${invented}`,
    rules: `class,angle,low_deg,high_deg,gauge_uncertainty_deg,measured,note
example class,camber,-3,,0.1,"hand gauge on the rim, driver aboard",${invented}
example class,caster,,9,,,${invented}`,
};

/** What a rack may write: one row a car, a column per corner and angle. Invented. */
const rackCsv = `Plate,Date,Job,Left camber,Right camber,Left caster,Right caster,Left toe,Right toe
example car 2,05/03/2026,example job 2,-0.80,-0.85,7.0,7.1,0.04,0.05
example car 2,12/03/2026,example job 3,-0.82,-0.84,7.0,7.0,0.05,0.05
`;

const rackMap = () => `# How rack.csv is read: an invented example to start from.
# ${programName('')} map YOUR-EXPORT.csv --to your.yaml   writes a first guess for your own file, with what it has to ask.
unfold:
  corner: { Left: FL, Right: FR }
columns:
  vehicle: Plate
  chassis: { constant: EXAMPLE }
  measured_at: { column: Date, date: day-first }
  visit: Job
  visit_kind: { constant: check }
  phase: { constant: before }
  camber_deg: "{corner} camber"
  caster_deg: "{corner} caster"
  toe_deg: { column: "{corner} toe", toe: wheel }
`;

/** The example of a kind with all columns of its contract. */
function csvOf({ kind, names }: TableContract): string {
    const [filled, ...rows] = examples[kind]!.split('\n').map(csvCells);
    const written = (cell: string) => (/[",\n]/.test(cell) ? quotedCell(cell) : cell);
    const lines = rows.map((cells) => names.map((name) => written(cells[filled!.indexOf(name)] ?? '')));
    return [names, ...lines].map((cells) => `${cells.join(',')}\n`).join('');
}

/** Writes a file of each kind with example rows, and a map with a file that it reads, into `folder`; none that is there already. */
export function writeExamples(folder: string): InitRow[] {
    const files = [
        ...tables.map((contract) => ({
            name: `${contract.kind}.csv`,
            kind: contract.kind,
            text: csvOf(contract),
            row_count: 2,
        })),
        { name: 'rack.csv', kind: 'export', text: rackCsv, row_count: 2 },
        { name: 'rack.yaml', kind: 'map', text: rackMap(), row_count: 0 },
    ].map((one) => ({ ...one, file: join(folder, one.name) }));
    const there = files.filter(({ file }) => existsSync(file)).map(({ file }) => file);
    if (there.length > 0) throw new UserError(wouldOverwrite(there), 'cannot_write');
    for (const { file, text } of files) writeFileSync(file, text, { flag: 'wx' });
    return files.map(({ file, kind, row_count }) => ({ file, kind, row_count }));
}

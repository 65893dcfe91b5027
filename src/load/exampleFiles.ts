import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { InitRow } from '../contracts/results/start.js';
import { tables } from '../contracts/tables.js';
import { UserError } from '../errors/errors.js';
import { programName } from '../errors/programName.js';
import { wouldOverwrite } from '../errors/startMessages.js';
import { quotedCell } from './csvCells.js';

type Row = Readonly<Record<string, string | number>>;

const invented = 'invented example: replace this row';

const corner = (name: 'FL' | 'FR', camber: number, caster: number): Row => ({
    vehicle: 'example car',
    chassis: 'EXAMPLE',
    corner: name,
    measured_at: '2026-03-01T10:00',
    visit: 'example job 1',
    visit_kind: 'adjust',
    phase: 'after',
    kit: 'EXAMPLE-KIT',
    plate_index: 1,
    mark_1: 0,
    camber_deg: camber,
    caster_deg: caster,
    toe_deg: 0.05,
    gauge: 'example gauge',
    technician: 'example technician',
    target: 'example street',
    note: invented,
});

const target = (name: string, camber: number, toe: number): Row => ({
    target: name,
    camber_deg: camber,
    camber_tol_deg: 0.15,
    caster_deg: 7,
    caster_tol_deg: 0.5,
    toe_deg: toe,
    toe_tol_deg: 0.05,
});

/** Two rows of each kind of file, all invented; they load as they are. */
const examples: Readonly<Record<string, readonly Row[]>> = {
    readings: [corner('FL', -0.95, 7.1), corner('FR', -1.05, 6.9)],
    kits: [
        {
            kit: 'EXAMPLE-KIT',
            axis_deg: 0,
            mark_pitch_mm: 2,
            mark_min: -5,
            mark_max: 5,
            centre_out_mm: 0,
            centre_aft_mm: 2,
            bearing: 'isolated_spherical',
            note: invented,
        },
        {
            kit: 'EXAMPLE-TWO-SCALES',
            axis_deg: 0,
            mark_pitch_mm: 1.5,
            mark_min: -6,
            mark_max: 6,
            mark2_min: -4,
            mark2_max: 4,
            bearing: 'solid_spherical',
            note: invented,
        },
    ],
    targets: [target('example street', -1, 0.05), target('example track', -1.6, 0)],
    sessions: [
        {
            session: 'example session 1',
            vehicle: 'example car',
            started_at: '2026-03-07T09:00',
            surface: 'track',
            laps: 20,
            distance_km: 80,
            note: invented,
        },
        {
            session: 'example session 2',
            vehicle: 'example car',
            started_at: '2026-03-07T14:00',
            surface: 'track',
            laps: 15,
            distance_km: 60,
            note: invented,
        },
    ],
    shafts: [
        {
            shaft: 'EXAMPLE-12',
            seat_diameter_mm: 12,
            shoulder_length_mm: 30,
            thread_length_mm: 24,
            note: invented,
        },
        {
            shaft: 'EXAMPLE-14',
            seat_diameter_mm: 14,
            shoulder_length_mm: 36,
            thread_length_mm: 24,
            note: invented,
        },
    ],
    hardware: [
        {
            kit: 'EXAMPLE-KIT',
            part: 'example bearing',
            role: 'bearing',
            fits_diameter_mm: 14,
            height_mm: 20,
            drop_mm: 5,
            note: invented,
        },
        {
            kit: 'EXAMPLE-KIT',
            part: 'example spacer',
            role: 'spacer',
            fits_diameter_mm: 14,
            height_mm: 8,
            note: invented,
        },
    ],
    references: [
        {
            gauge: 'example gauge',
            angle: 'camber',
            measured_at: '2026-03-01T08:00',
            reference: 'example block',
            reference_deg: 0,
            reference_uncertainty_deg: 0.02,
            reading_deg: 0.03,
            note: invented,
        },
        {
            gauge: 'example gauge',
            angle: 'camber',
            measured_at: '2026-03-01T08:05',
            reference: 'example block',
            reference_deg: -2,
            reference_uncertainty_deg: 0.02,
            reading_deg: -1.98,
            note: invented,
        },
    ],
    changes: [
        {
            vehicle: 'example car',
            changed_at: '2026-02-20T09:00',
            what: 'height',
            note: `345 to 327 mm; ${invented}`,
        },
        {
            vehicle: 'example car',
            changed_at: '2026-02-21T09:00',
            corner: 'FL',
            what: 'damper',
            note: invented,
        },
    ],
    rules: [
        {
            class: 'example class',
            angle: 'camber',
            low_deg: -3,
            gauge_uncertainty_deg: 0.1,
            measured: 'hand gauge on the rim, driver aboard',
            note: invented,
        },
        { class: 'example class', angle: 'caster', high_deg: 9, note: invented },
    ],
};

/** What a rack may write: one row a car, a column per corner and angle. Invented. */
const rackCsv = `Plate,Date,Job,Left camber,Right camber,Left caster,Right caster,Left toe,Right toe
example car 2,05/03/2026,example job 2,-0.80,-0.85,7.0,7.1,0.04,0.05
example car 2,12/03/2026,example job 3,-0.82,-0.84,7.0,7.0,0.05,0.05
`;

const rackMap = () => `# How rack.csv is read: an invented example to start from.
# ${programName()} map YOUR-EXPORT.csv --to your.yaml   writes a first guess for your own file, with what it has to ask.
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

function csvOf(kind: string): string {
    const { columns } = tables.find((table) => table.kind === kind)!;
    const names = columns.map(({ name }) => name);
    const cell = (value: string | number | undefined) => {
        const text = value === undefined ? '' : String(value);
        return /[",\n]/.test(text) ? quotedCell(text) : text;
    };
    return [names, ...examples[kind]!.map((row) => names.map((name) => cell(row[name])))]
        .map((cells) => `${cells.join(',')}\n`)
        .join('');
}

/** Writes a file of each kind with example rows, and a map with a file that it reads, into `folder`; none that is there already. */
export function writeExamples(folder: string): InitRow[] {
    const files = [
        ...tables.map(({ kind }) => ({
            name: `${kind}.csv`,
            kind,
            text: csvOf(kind),
            row_count: examples[kind]!.length,
        })),
        { name: 'rack.csv', kind: 'export', text: rackCsv, row_count: 2 },
        { name: 'rack.yaml', kind: 'map', text: rackMap(), row_count: 0 },
    ].map((one) => ({ ...one, file: join(folder, one.name) }));
    const there = files.filter(({ file }) => existsSync(file)).map(({ file }) => file);
    if (there.length > 0) throw new UserError(wouldOverwrite(there), 'cannot_write');
    for (const { file, text } of files) writeFileSync(file, text, { flag: 'wx' });
    return files.map(({ file, kind, row_count }) => ({ file, kind, row_count }));
}

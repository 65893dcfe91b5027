import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { makeSeason } from '../fixtures/season/make.js';
import { tableOf } from '../src/contracts/tables.js';
import { csvCells } from '../src/load/csvCells.js';

const folder = new URL('../fixtures/season/', import.meta.url);
const season = makeSeason();

function rowsOf(file: string): Record<string, string>[] {
    const [header, ...records] = season.files[file]!.trimEnd().split('\n').map(csvCells);
    return records.map((cells) => Object.fromEntries(header!.map((name, i) => [name, cells[i]!])));
}

const readings = rowsOf('readings.csv');
const fronts = readings.filter((row) => row.corner!.startsWith('F'));
const count = (values: Iterable<unknown>) => new Set(values).size;

test('the committed files are what the script writes: run npm run season and commit, if they are not', () => {
    const committed = readdirSync(folder).filter((name) => name.endsWith('.csv'));
    expect(committed.sort()).toEqual(Object.keys(season.files).sort());
    for (const [name, text] of Object.entries(season.files)) {
        expect(readFileSync(new URL(name, folder), 'utf8') === text, name).toBe(true);
    }
    expect(makeSeason()).toEqual(season);
});

test('three users, eight platforms, 81 cars, three kits with three kinds of bearing, all in 2025 and 2026', () => {
    const owners = new Set(readings.map((row) => row.vehicle!.split(' ')[0]));
    expect(owners).toEqual(new Set(['car', 'job', 'field']));
    expect(count(readings.map((row) => row.vehicle))).toBe(6 + 43 + 32);
    expect(count(readings.map((row) => row.chassis))).toBe(8);
    const kits = rowsOf('kits.csv');
    expect(count(kits.map((row) => row.kit))).toBe(3);
    expect(count(kits.map((row) => row.bearing))).toBe(3);
    for (const row of readings) expect(row.measured_at).toMatch(/^202[56]-\d\d-\d\dT\d\d:\d\d$/);
    const bytes = Object.values(season.files).reduce((sum, text) => sum + Buffer.byteLength(text), 0);
    expect(bytes).toBeLessThan(1_500_000);
});

/** Cells as `load` reads them: blank is null, numbers are numbers. */
function typed(kind: string, row: Record<string, string>) {
    return Object.fromEntries(
        tableOf(kind).columns.map(({ name, type }) => {
            const text = row[name] ?? '';
            if (text === '') return [name, null];
            return [name, type === 'number' || type === 'integer' ? Number(text) : text];
        }),
    );
}

test.each(['readings', 'kits', 'targets', 'sessions', 'shafts', 'hardware'])(
    'every row of %s keeps the contract',
    (kind) => {
        const { schema, key } = tableOf(kind);
        const rows = rowsOf(`${kind}.csv`);
        for (const row of rows) schema.parse(typed(kind, row));
        const keys = rows.map((row) =>
            JSON.stringify(key.map((name) => (name === 'repeat' ? row.repeat || '1' : row[name]))),
        );
        expect(count(keys)).toBe(rows.length);
    },
);

test('angles are rounded as the gauges show them: hundredths, caster and SAI of the rim gauge in twentieths', () => {
    for (const row of readings) {
        for (const name of ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'])
            expect(row[name]).toMatch(/^(-?\d+(\.\d\d?)?)?$/);
        if (row.gauge !== 'rim gauge') continue;
        for (const name of ['caster_deg', 'sai_deg']) expect((Number(row[name]) * 20) % 1).toBeCloseTo(0, 6);
    }
});

test('sessions: 162, each with all four corners before and after; slips of 1.5 to 5 mm, one bent strut', () => {
    const running = readings.filter((row) => row.visit_kind === 'session');
    expect(rowsOf('sessions.csv')).toHaveLength(8 * 6 * 3 + 2 * 3 * 3);
    expect(running).toHaveLength(162 * 4 * 2);
    expect(season.truth).toHaveLength(162 * 2);
    const slips = season.truth.filter(({ cause }) => cause === 'slip');
    expect(slips.length).toBeGreaterThan(15);
    for (const { slip_out_mm, slip_aft_mm } of slips) {
        expect(Math.hypot(slip_out_mm, slip_aft_mm)).toBeGreaterThan(1.5);
        expect(Math.hypot(slip_out_mm, slip_aft_mm)).toBeLessThan(5);
    }
    expect(season.truth.filter(({ cause }) => cause === 'strut').map(({ visit }) => visit)).toEqual([
        'car 4 meeting 3 race',
    ]);
});

test('installs cross from the original mount; adjustments have as-found, moved and as-left; toe sometimes left alone', () => {
    const installs = fronts.filter((row) => row.visit_kind === 'install');
    for (const row of installs) expect(row.kit === '').toBe(row.phase === 'before');
    const phases = new Set(fronts.filter((row) => row.visit_kind === 'adjust').map((row) => row.phase));
    expect(phases).toEqual(new Set(['before', 'moved', 'after']));
    expect(fronts.filter((row) => row.toe_reset === 'no').length).toBeGreaterThan(3);
});

test('gauge studies: two people and two gauges, two readings each; rack 2 reads about 0.10 deg of camber more', () => {
    const studies = readings.filter((row) => row.visit_kind === 'check');
    const visits = new Set(studies.map((row) => row.visit));
    expect(visits.size).toBeGreaterThan(25);
    for (const visit of visits) {
        const rows = studies.filter((row) => row.visit === visit);
        expect(rows).toHaveLength(2 * 2 * 2 * 4);
        expect([count(rows.map((row) => row.gauge)), count(rows.map((row) => row.technician))]).toEqual([
            2, 2,
        ]);
    }
    const mean = (gauge: string) => {
        const values = studies.filter((row) => row.gauge === gauge).map((row) => Number(row.camber_deg));
        return values.reduce((sum, value) => sum + value, 0) / values.length;
    };
    expect(mean('rack 2') - mean('rack 1')).toBeCloseTo(0.1, 1);
});

test('readings at the ends of the scales, several bolt positions, the other hand', () => {
    expect(fronts.filter((row) => row.note === 'pointer at the end of the scale').length).toBeGreaterThan(50);
    expect(count(fronts.map((row) => row.plate_index))).toBe(4);
    expect(fronts.filter((row) => row.corner === 'FL' && row.plate_hand === 'right').length).toBeGreaterThan(
        20,
    );
});

test('fourteen planted mistakes, each on a car of its own, where the list says', () => {
    expect(season.planted).toHaveLength(14);
    expect(count(season.planted.map(({ vehicle }) => vehicle))).toBe(14);
    const rows = (mistake: string) => {
        const { vehicle, visit, corner, phase } = season.planted.find((one) => one.mistake === mistake)!;
        return readings.filter(
            (row) =>
                row.vehicle === vehicle &&
                (visit === null || row.visit === visit) &&
                (corner === null || row.corner === corner) &&
                (phase === null || row.phase === phase),
        );
    };
    expect(Number(rows('sign of camber lost')[0]!.camber_deg)).toBeGreaterThan(1.8);
    expect(rows('as-left missing').some((row) => row.phase === 'after')).toBe(false);
    expect(new Set(rows('gauge mistyped').map((row) => row.gauge))).toEqual(new Set(['rakc 1']));
    const inches = rows('inches written as mm').filter((row) => row.offset_out_mm !== '');
    expect(inches.length).toBeGreaterThan(4);
    for (const row of inches) expect(Math.abs(Number(row.offset_out_mm))).toBeLessThan(12 / 25.4);
});

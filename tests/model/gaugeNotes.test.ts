import { expect, test } from 'vitest';
import type { GaugeRow } from '../../src/contracts/results/gauges.js';
import { gaugeNotes } from '../../src/model/gaugeNotes.js';

const plain = {
    kind: 'gauge',
    bias_deg: null,
    bias_std_error_deg: null,
    source: 'repeats',
    outlier_count: 0,
    believable_change_deg: null,
    believable_change_of_visits_deg: null,
    set_up_source: 'visits',
    walks: false,
    reference_reading_count: 0,
    compared: [],
    tolerances: [],
} as unknown as GaugeRow;
const angles = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;
/** Gauges g1, g2, ..., each with all angles. */
const gauges = (count: number, more: (i: number) => Partial<GaugeRow>) =>
    Array.from({ length: count }, (_, i) =>
        angles.map((response) => ({ ...plain, name: `g${i + 1}`, response, ...more(i + 1) })),
    ).flat();
const said = (notes: readonly string[], what: string) => notes.filter((note) => note.includes(what));

test('biases of several are one sentence an angle, the largest first, the rest counted', () => {
    const notes = gaugeNotes(gauges(10, (i) => ({ bias_deg: -i / 10, bias_std_error_deg: 0.01 })));
    const told = said(notes, 'than the average');
    expect(told).toHaveLength(4);
    expect(told[0]).toMatch(
        /^g10 reads camber 1\.00 deg lower than the average of those it was compared with \(standard error 0\.010\), g9 0\.90 lower \(0\.010\), .*, g3 0\.30 lower \(0\.010\) and 2 more \(\S.* gauges --json\)\.$/,
    );
    expect(gaugeNotes(gauges(2, () => ({ bias_deg: 0.3, bias_std_error_deg: 0.01 }))).join()).not.toContain(
        'more',
    );
});

test('differences of gauges are one sentence an angle', () => {
    const notes = gaugeNotes(
        gauges(2, (i) => ({
            compared: [
                { other_gauge: 'h', difference_deg: i / 10, std_error_deg: 0.02, setting_count: i },
                { other_gauge: 'k', difference_deg: 0.01, std_error_deg: 0.001, setting_count: 9 },
            ],
        })),
    );
    expect(said(notes, 'toe 0')).toEqual([
        'g2 reads toe 0.20 +-0.02 deg above h (standard error; from 2 settings), g1 0.10 +-0.02 above h (1 setting).',
    ]);
});

test('what asks for something to be done comes behind the answers, and names every gauge', () => {
    const names = Array.from({ length: 10 }, (_, i) => `g${i + 1}`);
    const notes = gaugeNotes(
        gauges(10, (i) => ({
            bias_deg: 1,
            bias_std_error_deg: 0.01,
            believable_change_deg: 0.1,
            outlier_count: i,
            walks: true,
            walk_deg_per_week: i / 100,
            walk_std_error_deg_per_week: 0.001,
            walk_weeks: 10,
            tolerances: [
                {
                    target: 't',
                    chassis: null,
                    tolerance_deg: 0.2,
                    share_of_tolerance: i / 2,
                    u_deg: 0.15,
                    guarded_tolerance_deg: 0,
                    distinct_categories: 1,
                },
            ],
        })),
    );
    expect(notes.slice(1, 4).map((note) => note.split(/[.:,]/)[0])).toEqual([
        'g10 walks',
        'g1',
        'Measuring takes more than 30 % of the tightest camber tolerance (+-0',
    ]);
    const [walk, judged, tolerances] = notes.slice(1, 4) as [string, string, string];
    // 0.01 deg a week is 0.1 deg over ten weeks.
    expect(walk).toContain(
        'g1: its toe by 0.0100 deg a week (standard error 0.0010), 0.10 deg over 10 weeks',
    );
    expect(walk).toContain('Have them calibrated');
    for (const name of names) {
        expect(walk).toContain(`${name}: its`);
        expect(judged).toContain(`${name}${name === 'g10' ? ' cannot judge a toe tolerance' : ','}`);
    }
    expect(tolerances).toMatch(/toe tolerance \(\+-0\.2 deg\): 500 % with g10, .* and 2 more/);
    expect(said(notes, 'far from their twins')).toHaveLength(1);
    expect(notes.length).toBeLessThanOrEqual(15);
});

test('errors against references are one sentence an angle', () => {
    const reference = {
        reference_std_error_deg: 0.01,
        reference_reading_count: 3,
        reference_first_on: '2026-02-01',
        reference_last_on: '2026-02-01',
        reference_missing: null,
    };
    const rows = gauges(2, () => ({ reference_reading_count: 3 }));
    const references = rows.map(({ name, response }) => ({
        ...reference,
        name,
        response,
        reference_error_deg: name === 'g1' ? 0.02 : -0.03,
    }));
    expect(said(gaugeNotes(rows, references), 'the references')).toHaveLength(4);
    expect(said(gaugeNotes(rows, references), 'reads sai')).toEqual([
        'g2 reads sai 0.030 deg below the references (standard error 0.010; 3 readings, 2026-02-01), g1 0.020 above (standard error 0.010; 3 readings, 2026-02-01).',
    ]);
});

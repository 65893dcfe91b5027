import type { Finding } from '../../src/report/defineReport.js';
import { counted, fixed, listed, percent } from '../../src/report/format.js';
import { plain } from '../../src/units/plain.js';
import { angleOf, type Gauge, type Rows } from './rows.js';

const isSure = ({ bias_deg, bias_std_error_deg }: Gauge): boolean =>
    bias_deg !== null && Math.abs(bias_deg) >= 0.02 && Math.abs(bias_deg) > 2 * bias_std_error_deg!;

/** Biases that are sure, the largest part of the tolerance first. */
function sureBiases(rows: Rows): Gauge[] {
    const size = ({ bias_deg, tolerance_deg }: Gauge) => Math.abs(bias_deg!) / (tolerance_deg ?? 1);
    return rows.gauges.filter(isSure).sort((a, b) => size(b) - size(a));
}

const biasWords = (row: Gauge): string =>
    `${row.name} reads ${angleOf(row)} ${fixed(Math.abs(row.bias_deg!), 2)}° ${row.bias_deg! > 0 ? 'above' : 'below'} the others`;

/** Gauges of which one reading cannot tell whether a tolerance is kept. */
const isBlind = ({ kind, guarded_tolerance_deg, tolerance_deg }: Gauge): boolean =>
    kind === 'gauge' && guarded_tolerance_deg !== null && guarded_tolerance_deg <= 0.1 * tolerance_deg!;

export function headline(rows: Rows): string {
    if (rows.gauges.length === 0) return 'No reading names a gauge or a person yet.';
    const [largest] = sureBiases(rows);
    if (largest !== undefined) return biasWords(largest);
    const count = rows.gauges.filter(({ kind }) => kind !== 'technician').length;
    return count < 2
        ? 'One gauge alone: nothing to compare it with'
        : 'No gauge or person is sure to read off the others';
}

export function answer(rows: Rows): string[] {
    const camber = rows.gauges.filter((row) => row.response === 'camber_deg' && row.kind === 'gauge');
    const [largest] = sureBiases(rows);
    const known = camber.filter((row) => row.repeatability_deg !== null);
    const scatter = known.map(
        (row) => `${row.name} ${fixed(row.repeatability_deg, 3)}° (${counted(row.reading_count, 'reading')})`,
    );
    const blind = rows.gauges.filter(isBlind);
    const judged = blind.map((row) => `${row.name} ${angleOf(row)} ±${plain(row.tolerance_deg!, 2)}°`);
    return [
        ...(largest === undefined
            ? []
            : [
                  `${biasWords(largest)}: 95 % interval ${fixed(largest.bias_low_deg, 3)} to ${fixed(largest.bias_high_deg, 3)}°${largest.tolerance_deg === null ? '' : `, against a tolerance of ±${plain(largest.tolerance_deg, 2)}°`}.`,
              ]),
        ...(known.length === 0
            ? []
            : [`One reading of camber scatters (standard deviation): ${listed(scatter, 4)}.`]),
        judged.length === 0
            ? 'Bias is relative to the others: only readings of references tell of the true angle.'
            : `One reading cannot judge ${listed(judged, 3)}: re-mount and read again, or take a better gauge.`,
    ];
}

export function findings(rows: Rows): Finding[] {
    if (rows.gauges.length === 0)
        return [
            {
                text: 'Name the gauge and the person in the columns gauge and technician: then they can be compared.',
            },
        ];
    const walking = rows.gauges.filter(({ walks }) => walks === true);
    const wide = rows.gauges.filter(({ share_of_tolerance: share }) => share !== null && share > 0.3);
    return [
        ...sureBiases(rows).map((row) => ({
            about: row.name,
            text: `${biasWords(row)} (95 % ${fixed(row.bias_low_deg, 3)} to ${fixed(row.bias_high_deg, 3)}°, ${counted(row.reading_count, 'reading')}).`,
        })),
        ...walking.map((row) => ({
            about: row.name,
            text: `Its ${angleOf(row)} of settings that nobody changed moves by ${fixed(row.walk_deg_per_week, 4)}° a week (standard error ${fixed(row.walk_std_error_deg_per_week, 4)}, over ${fixed(row.walk_weeks, 0)} weeks; probability ${percent(row.p_walks)}). Have it calibrated.`,
        })),
        ...[...new Set(wide.map(angleOf))].map((angle) => {
            const own = wide.filter((row) => angleOf(row) === angle);
            const shares = own.map((row) => `${row.name} ${percent(row.share_of_tolerance)}`);
            return {
                about: `Tolerance of ${angle}`,
                text: `Measuring takes over 30 % of the tightest ${angle} tolerance, ±${plain(own[0]!.tolerance_deg!, 2)}°: ${listed(shares)}. Average three readings, or widen the tolerance.`,
            };
        }),
        ...(sureBiases(rows).length + walking.length + wide.length === 0
            ? [
                  {
                      text: 'Nothing stands out: no sure bias, no gauge that walks, none that takes over 30 % of a tolerance.',
                  },
              ]
            : []),
    ];
}

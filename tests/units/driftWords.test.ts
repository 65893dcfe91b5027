import { expect, test } from 'vitest';
import { verdicts } from '../../src/contracts/results/drift.js';
import { causes as all, causeNamed } from '../../src/stats/drift/causes/index.js';
import {
    type Cause,
    type Drifted,
    driftWords,
    isOpen,
    readingThatWouldTell,
} from '../../src/units/driftWords.js';
import { generator } from '../support/mutations.js';

const still: Drifted = {
    verdict: 'other',
    cause: 'unexplained',
    p_cause: 0.6,
    next_cause: 'lower_arm_moved',
    reason: null,
    measured_ts: '2025-04-12 17:00:00',
    set_again_on: null,
    put_right_on: null,
    earlier_slip_count: 0,
    sessions: null,
    camber_change_deg: 0,
    caster_change_deg: null,
    toe_change_deg: 0,
    sai_change_deg: null,
    camber_judged_deg: 0,
    caster_judged_deg: null,
    toe_judged_deg: 0,
    sai_judged_deg: null,
    camber_std_error_deg: 0.05,
    caster_std_error_deg: null,
    toe_std_error_deg: 0.02,
    sai_std_error_deg: null,
    slip_out_mm: 3,
    slip_aft_mm: 0,
    slip_out_std_error_mm: 0.4,
    slip_aft_std_error_mm: 0,
    slip_cov_mm2: 0,
    mark_1_back: -1.5,
    mark_2_back: null,
};
const read = { has_caster: false, has_toe: false, has_sai: false, has_rears: false, has_other_front: false };
const causes: readonly Cause[] = all.map(({ name }) => name);

test('camber -0.70 with toe -0.30, named by nothing: not to be run until inspected', () => {
    const row: Drifted = { ...still, camber_judged_deg: -0.7, toe_judged_deg: -0.3 };
    expect(driftWords(row)).toMatch(/, read on 2025-04-12\. Do not run it until it has been inspected$/);
    expect(driftWords({ ...row, verdict: 'unclear' })).toContain('Do not run it until it has been inspected');
    // A change within the noise of a coarse gauge is not large.
    const noisy = { ...row, camber_std_error_deg: 0.3, toe_std_error_deg: 0.2 };
    expect(driftWords(noisy)).not.toContain('inspected');
});

test('the included angle is camber and SAI by the whole record; without SAI nothing is said of it', () => {
    const row: Drifted = { ...still, verdict: 'bent', cause: 'spindle_bent', camber_judged_deg: -0.7 };
    expect(driftWords(row)).toContain(': camber -0.70 deg,');
    expect(driftWords({ ...row, sai_judged_deg: 0.1 })).toContain(
        ': camber -0.70 deg, included angle -0.60 deg,',
    );
});

test('every finding has its day; what was set again is no order any more; large changes of the car are inspected', () => {
    const random = generator(7);
    const pick = <T>(values: readonly T[]) => values[random(values.length)]!;
    for (let n = 0; n < 2000; n++) {
        const verdict = pick(verdicts);
        const cause = pick(
            verdict === 'plate_moved'
                ? (['plate_slipped', 'mount_moved'] as const)
                : verdict === 'bent'
                  ? (['spindle_bent', 'strut_bent', 'struck'] as const)
                  : causes.filter((one) => one !== 'held'),
        );
        const row: Drifted = {
            ...still,
            verdict,
            cause,
            next_cause: pick(causes),
            set_again_on: pick([null, '2025-05-01']),
            put_right_on: pick([null, '2025-04-20']),
            sai_judged_deg: pick([null, 0.1]),
            camber_judged_deg: pick([null, 0.2, -0.7]),
            toe_judged_deg: pick([null, 0.05, -0.3]),
            earlier_slip_count: pick([0, 1]),
        };
        const words = driftWords(row);
        if (verdict === 'held') {
            expect(words).toBe('held');
            continue;
        }
        expect(words).toContain('read on 2025-04-12');
        const large = row.camber_judged_deg === -0.7 || row.toe_judged_deg === -0.3;
        const blamed = verdict === 'unclear' ? [cause, row.next_cause!] : [cause];
        const onCar = blamed.some((one) => one !== 'held' && !causeNamed(one).ofMeasuring);
        const closedOn = row.put_right_on ?? row.set_again_on;
        const again = verdict === 'plate_moved' && row.earlier_slip_count > 0 && closedOn === null;
        const asked = verdict === 'other' && causeNamed(cause).stop;
        const inspects =
            verdict === 'bent' || again || asked || (verdict !== 'plate_moved' && large && onCar);
        expect(/not run it until it has been inspected/.test(words), words).toBe(inspects);
        expect(words.includes('included angle'), words).toBe(
            verdict === 'bent' &&
                cause !== 'struck' &&
                row.camber_judged_deg !== null &&
                row.sai_judged_deg !== null,
        );
        if (closedOn === null) continue;
        expect(words).toContain(closedOn);
        expect(isOpen(row)).toBe(false);
        expect(words).not.toContain('would put it back');
        expect(readingThatWouldTell(row, read)).toBeNull();
    }
});

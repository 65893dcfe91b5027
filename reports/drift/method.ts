import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Signs',
        text: 'Camber counts positive with the top of the wheel outboard, caster with the top of the steering axis rearward, toe with the front of the wheel inboard (per wheel), SAI with the top of the axis inboard. Slips count positive outboard and rearward.',
    },
    {
        term: 'Change',
        text: 'After minus before, by the whole record of the car: readings between two disturbances measure one state and are pooled as far as they agree, and where a car was not read right after a session the next reading tells, with what was set on purpose taken off. Camber is brought to equal toe where toe was read. Noise is that of the gauges and set-ups, from the data where there are enough. Where gauge or person differ, the difference of their biases is taken off. A recorded change of the car ends what is compared.',
    },
    {
        term: 'Causes',
        text: 'Held; bearing slipped along what its plate allows; plate moved on its tower; knuckle or spindle bent; strut bent; two parts at once, as from a strike; tie rod turned; lower arm moved; one reading wrong; cradle moved sideways; reference rolled; zero of the gauge changed; steering not straight; the car higher or lower, for which written ride heights tell. Each has a marginal likelihood with its size, the uncertainty of the slopes and angles that were not read integrated out. Rear wheels are the control: no plate moves them.',
    },
    {
        term: 'Probabilities',
        text: 'Likelihoods times prior odds, which count as 40 sessions and are corrected by all sessions of the database (empirical Bayes). They are as good as the list of causes: what is not in it shows as unexplained.',
    },
    {
        term: 'Verdict',
        text: 'Something moved where that is likelier than not, and its class is named where it holds at least 70 % of that; from camber alone no class is named. Many corners are judged at once: classes are named from the surest down while at most 5 % of them are expected to be wrong (Bayesian false-discovery rate). Held needs 80 %. Else unclear.',
    },
    {
        term: 'Slip',
        text: 'Generalised least squares along the slot, or in the plane of a plate with two scales, given that the bearing slipped; no prior on its size. Intervals are ± 1.96 standard errors.',
    },
    {
        term: 'Control charts',
        text: 'Each reading is brought to offset 0 with the slopes of the chassis, so that only what nobody wrote down is left. Dashed: 3.3 standard deviations about the mean of the clean points (mean moving range over 1.128 from 8 points on, else the noise of the gauge). Line and band: moving average (EWMA, a quarter of the newest point) and its limits of 3.3 standard deviations; it begins anew whenever the plate is set. The dashed limits, the moving average and a CUSUM (slack 0.5, limit 5.7 standard deviations) together signal at most one reading in 200 where nothing happened.',
    },
    {
        term: 'Creep or step',
        text: 'Constant level, straight line over the sessions, or one step: the lowest Bayesian information criterion, where it leads by 2. A line or a step is told only where an F test refutes the constant level, so that of tracks that held at most 5 % are told to move.',
    },
    {
        term: 'Rates',
        text: 'Expected slips are the sum of the probabilities. Intervals are exact (Clopper-Pearson, gamma; conditional binomial for ratios), carried on to broken numbers. P values are adjusted for the number of pairs (Benjamini-Hochberg). Kits, circuits and drivers were not drawn by lot: a difference need not be the bearing’s doing.',
    },
];

import { programName } from '../../src/errors/programName.js';
import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Setting',
        text: 'The after reading of an install or adjust visit of a front corner that names a target; the target of the chassis wins over the one for any chassis. Cross camber and cross caster are left minus right of one visit. A visit hits when all its angles do.',
    },
    {
        term: 'Inside, outside, undecided',
        text: `With the standard uncertainty u of the true angle (repeats of the mean, one set-up, what is not known of the bias of gauge and person: JCGM 100), the reading less the known bias less what is wanted is inside within tolerance - 1.65 u, outside from tolerance + 1.65 u, and undecided between: the decision rule of ISO 14253-1, which keeps wrong decisions under 5 % even at the limit. Repeats shrink their own part of u only; ${programName('')} gauges shows the parts.`,
    },
    {
        term: 'Hit as read',
        text: 'Inside the tolerance without a guard band. Its 95 % interval is Wilson’s score interval; left and right of one car count apart, except in whole visits.',
    },
    {
        term: 'Shrunken share',
        text: 'Mean of a beta distribution that draws each group towards all groups together, the more the fewer its visits: beta-binomial, precision from the variance between groups by moments, averaged with 5 percentage points (from memory) at the weight of two groups. Misses at the end of the scale are left out: they are not the hands’. A place that other counts could change is given as a range: two groups are only put in order when one is better with over 95 % probability.',
    },
    {
        term: 'End of the scale',
        text: 'The angle is missed and a pointer stands at the end of its scale, beyond which the angle would come nearer. Another index, no index: from the readings left behind and the degrees per mm of the chassis, no place of the pointers as the plate is clocked brings camber and caster of the corner within tolerance together, but one in another index or hand does, or none. Within reach: as it is clocked, one does. Mistake of writing: off by over 5 tolerances and 20 u with no scale end to blame.',
    },
    {
        term: 'Spread, Cp, Cpk',
        text: 'Standard deviation with divisor n - 1; the part of the gauge is the root mean square of what scatters from setting to setting (repeats, and set-ups where readings tell of them), that of the hands what is left. Cp is the width of the tolerance over six standard deviations, Cpk the distance of the mean to the nearer limit over three (NIST/SEMATECH e-Handbook 6.1.6), errors taken in tolerances; intervals by chi-square, and for Cpk after Bissell (1990).',
    },
    {
        term: 'Stops short',
        text: 'For settings that came from outside the tolerance: error on the side from which they came, in tolerances, on average. About zero when both sides are equally likely.',
    },
    {
        term: 'P chart',
        text: 'Centre line: share over all months. Limits: three standard deviations of a share of as many visits, within 0 and 1 (NIST/SEMATECH e-Handbook 6.3.3.2). With few visits they are rough.',
    },
    {
        term: 'Come-back',
        text: 'The next install or adjust visit of the car comes within 30 days and is for the same target, or names none. The readings had moved when a first reading differs from the last one by more than repeats, two set-ups and a change of gauge explain, 5 % shared by the angles compared.',
    },
];

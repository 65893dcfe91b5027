import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Needed offset',
        text: 'Of each front corner with a reading at a known offset: that offset plus the move which brings camber and caster to the target exactly, by the inverse of the chassis’ degrees per mm, at the toe of the target. The newest state counts, but none from behind a session. A target without caster sets no rearward offset.',
    },
    {
        term: 'At the end',
        text: 'The pointer stands at an end of its scale and an angle is missed that would come nearer beyond it. Of the need it is then only known that it lies past the place where the angle would come within tolerance: maximum likelihood for a bivariate normal with such censored values (Tobit), by EM.',
    },
    {
        term: 'Mean and spread',
        text: 'The reading counts less the bias of who read, as far as known. The noise of the repeats, of set-ups where readings tell of them, and of the pointers is taken away from the variance. Left and right of one car correlate, and count as fewer corners; what the degrees per mm may be wrong by, and what is not known of the bias, is common to all cars and widens the interval.',
    },
    {
        term: '95 % of cars',
        text: 'Two-sided normal tolerance interval, exact factor of ISO 16269-6: with 95 % confidence it holds the needs of at least 95 % of cars. The distribution-free one goes by order statistics and needs 93 cars (Wilks 1941).',
    },
    {
        term: 'Set apart',
        text: 'Over 5 robust standard deviations from the median of its chassis and target: a mistake of writing rather than a car. Left out, and counted.',
    },
    {
        term: 'Reached',
        text: 'A place on the scale exists where every judged angle of the corner is within its tolerance. In the best index both corners of a car take plates of one mirrored pair. For this the needs are drawn in so that their spread is that without noise, and those at the end are placed where the fitted tail has them. Interval: Wilson’s, with the number of corners that are worth as many independent ones.',
    },
    {
        term: 'Least half-length',
        text: 'Of the first scale, its middle and direction as they are: the order statistic of what the corners ask for; interval by the shares that the wanted one cannot be told from.',
    },
    {
        term: 'Coarsest useful mark',
        text: 'The pitch at which one mark of the first scale changes no judged angle by more than its tolerance, so that setting to the nearest mark costs half of it at most (common practice, no source).',
    },
    {
        term: 'Field',
        text: 'Cars come here by themselves: who fits such a kit and writes readings down is not the whole field.',
    },
];

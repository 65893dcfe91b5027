import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Signs',
        text: 'Camber counts positive with the top of the wheel outboard, caster with the top of the steering axis rearward, toe with the front of the wheel inboard (per wheel), SAI with the top of the axis inboard. Offsets count positive outboard and rearward.',
    },
    {
        term: 'Move',
        text: 'The difference of two readings of one corner within one visit, with the same kit and a known, different offset. An install or a change of kit crosses a change of mount: it is not drawn, and tells of the slopes beside a free constant for each change of kit with four or more of them. Toe is used only where the tie rods were not turned in between. Camber is brought to equal toe where toe and caster were read.',
    },
    {
        term: 'Own slope',
        text: 'Both axes fitted jointly per chassis and angle, without intercept: MM-estimate with Tukey bisquare weights (95 % efficiency under normal errors), scale by an S-estimate with 50 % breakdown. A move whose weight is under one half counts as down-weighted. Moves that one gauge read before and another one after share a constant for these two gauges, nearly free (a random intercept with a standard deviation of 8 biases, Pinheiro and Bates), so that the step between the gauges is in no slope.',
    },
    {
        term: 'Interval',
        text: '95 % t interval; standard errors clustered by car (both fronts of a car are one cluster) with the CR2 correction and Satterthwaite degrees of freedom. The bands in the plots are these intervals times the move.',
    },
    {
        term: 'Shrunken slope',
        text: 'Empirical Bayes: the own slope drawn towards the mean of the chassis by the between-chassis variance (Paule-Mandel) and, where few chassis are known, towards what geometry expects. Later answers use it. Its interval is ± 1.96 standard errors.',
    },
    {
        term: 'Geometry alone',
        text: 'For camber 0.087 ± 0.010 degrees per millimetre outboard (mean and standard deviation): 57.3 cos²(SAI) over the pivot distance of 500 to 800 mm. The spread, and the values for the other angles, are from memory and give way to data.',
    },
    {
        term: 'Reliability',
        text: 'Share of the spread of the moves that is not error of reading the marks. Under 0.98 the slope is corrected for it.',
    },
    {
        term: 'Limits',
        text: 'A slope is a straight-line approximation near the offsets that were used. Cars and moves were not drawn at random: they are those that somebody measured.',
    },
];

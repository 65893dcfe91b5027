import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Way',
        text: 'One plate of the mirrored pair goes left and the other right, each in one of its bolt positions (index).',
    },
    {
        term: 'Reach',
        text: 'Expected camber and caster over all marks of the plate: the present reading plus degrees per millimetre times the move. Without a car, the median car of the chassis, each brought back to its original mount.',
    },
    {
        term: 'Order',
        text: 'Ways that bring the expected angles inside every tolerance come first; then the probability that all angles of both sides are within tolerance at their best marks, set without reading again; a way that is alike left and right is preferred by 0.05; then the travel left to the ends of the scales.',
    },
    {
        term: 'Probability',
        text: 'Bivariate normal per corner and target: noise of the reading (or spread of the cars), uncertainty and spread of the slopes, pointers read to a part of a mark, and 1 mm for where another mount puts the bearing. Corners and targets are taken as independent.',
    },
];

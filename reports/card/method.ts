import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Setting',
        text: 'Every half mark of the plates as they are clocked now is tried on both sides together: first those that bring the expected angles inside all tolerances and limits of left minus right, among them the most probable, then the nearest. Plates that are as good where they are stay there.',
    },
    {
        term: 'Expected angles',
        text: 'The newest reading at the present place, less what its gauge seems to add, plus degrees per millimetre times the move, at the toe of the target. Intervals hold the true angle in 95 % of cases: repeats, set-up and bias of the reading (reading = angle + bias of gauge and person + set-up + repeat + display step), uncertainty of the slopes and their spread from corner to corner, and the pointer read to a part of a mark. What one new reading by the same gauge will show is told beside: its bias cancels, a new set-up and repeat add.',
    },
    {
        term: 'In tolerance',
        text: 'Probability that camber and caster of the corner both lie within tolerance, bivariate normal.',
    },
    {
        term: 'Add toe',
        text: 'What the tie rods of each wheel have to add after the plates have moved, to reach the final toe: that of the target, or the present toe where the target names none. Toe-in counts positive.',
    },
    {
        term: 'Drawing',
        text: 'The plate seen from above, front of the car up. The cross is the bearing of the original mount; places are to scale, the outline of the tower is not.',
    },
];

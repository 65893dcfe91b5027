import { programName } from '../../src/errors/programName.js';
import type { MethodNote } from '../../src/report/defineReport.js';

export const method: MethodNote[] = [
    {
        term: 'Stack',
        text: 'Parts of a box whose bore takes the seat of the shaft (to 0.1 mm; a blank bore takes any), in the order bush, spring plate, spacers, lower adapter, bearing, upper adapter, dust washer, nut: one of each role at most, spacers as many as the box holds. Of required parts of a role one is used.',
    },
    {
        term: 'Sound',
        text: `At the worst tolerances the parts stand at least 0.3 mm above the shoulder, so that the nut clamps the inner ring of the bearing; one pitch of thread shows above the nut; the loaded mount clears the spring plate by 5 mm. 0.5 to 3 mm above the shoulder is wished. These rules are common practice without a published source; ${programName('')} stack --set changes them.`,
    },
    {
        term: 'Worst tolerances',
        text: 'The half widths of all tolerances in a length added up, 0.1 mm each where the files give none. A stack is sound only if it is so then.',
    },
    {
        term: 'Root sum of squares',
        text: 'The square root of the sum of the squared half widths: what to expect where the errors of the parts are independent and their tolerances equally many standard deviations. Told beside the worst case, decides nothing.',
    },
    {
        term: 'Ride height',
        text: 'Each millimetre more between spring plate and bearing lets the body stand about 1 mm higher on the same spring. Left and right are to be alike.',
    },
    {
        term: 'Best stack',
        text: 'Sound ahead of unsound, a spring plate of the box ahead of the car’s own, then the fewest parts, then the margin nearest the middle of what is wished. Of unsound stacks the one that lacks least.',
    },
    {
        term: 'Limits',
        text: 'Heights as the files give them; whether parts centre on each other, the shape of the mount, spring and tyre clearance, and the ends of the slot are not judged. The car’s own spring plate counts as adding 0 mm between seat and nut face on this page.',
    },
];

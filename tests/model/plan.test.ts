import { expect, test } from 'vitest';
import { plan, planNeeds } from '../../src/model/plan.js';
import { corner, kit } from '../support/linear.js';
import { modelOf } from '../support/memory.js';

test('a slope of which nobody knows how many cars it takes lacks more than one that is told', async () => {
    const readings = [1, 2, 3, 4, 5, 6].flatMap((car) =>
        ['FL', 'FR'].flatMap((side) =>
            corner({ vehicle: `car ${car}`, chassis: 'C', visit: 'v1', corner: side }, [
                { phase: 'before', mark: car % 3 },
                { phase: 'moved', mark: -3 },
            ]),
        ),
    );
    const db = await modelOf({ readings, kits: [kit] }, 1, planNeeds);
    try {
        const { rows, notes } = await plan(db, { chassis: 'C', slopeWithin: 0.005, shareWithin: 0.1 });
        expect(rows.map(({ response, more_needed }) => [response, more_needed])).toEqual([
            ['camber_deg', 0],
            ['caster_deg', null],
        ]);
        expect(notes[1]).toMatch(
            /^Helps most next: move a bearing forward or rearward .* one of 6 cars at hand that lack it: car 1, /,
        );
    } finally {
        db.close();
    }
});

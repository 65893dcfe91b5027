import fc from 'fast-check';
import { expect, test } from 'vitest';
import { platePlan } from '../../reports/card/plan.js';
import type { Setting, SlotPoint } from '../../reports/card/rows.js';

interface Plate {
    corner: 'FL' | 'FR';
    axis: number;
    half: number;
    pitch: number;
    marks: number[];
}

const plates = fc.integer({ min: 2, max: 8 }).chain((half) =>
    fc.record<Plate>({
        corner: fc.constantFrom('FL' as const, 'FR' as const),
        axis: fc.integer({ min: 0, max: 359 }),
        half: fc.constant(half),
        pitch: fc.integer({ min: 1, max: 3 }),
        marks: fc.array(
            fc.integer({ min: -2 * half, max: 2 * half }).map((steps) => steps / 2),
            { minLength: 2, maxLength: 3 },
        ),
    }),
);

function drawn({ corner, axis, half, pitch, marks }: Plate): string {
    const at = (mark: number) => ({
        out_mm: pitch * mark * Math.cos((axis * Math.PI) / 180),
        aft_mm: 2 + pitch * mark * Math.sin((axis * Math.PI) / 180),
    });
    const slot = Array.from({ length: 2 * half + 1 }, (_, place): SlotPoint => {
        const mark = place - half;
        return { vehicle: 'car', corner, part: 'scale', mark_1: mark, mark_2: null, ...at(mark) };
    });
    const [present, ...targets] = marks;
    const now = at(present!);
    const settings = targets.map((mark, place) => ({
        corner,
        target: `target ${place + 1}`,
        bolt_count: 3,
        mark_1: mark,
        mark_2: null,
        present_mark_1: present,
        present_mark_2: null,
        offset_out_mm: at(mark).out_mm,
        offset_aft_mm: at(mark).aft_mm,
        move_out_mm: at(mark).out_mm - now.out_mm,
        move_aft_mm: at(mark).aft_mm - now.aft_mm,
    }));
    return platePlan(settings as unknown as Setting[], slot).text;
}

test('no line to a label strikes through the number at an end of the scale', () => {
    fc.assert(
        fc.property(plates, (plate) => {
            const picture = drawn(plate);
            const leads = [...picture.matchAll(/class="lead" d="M([-\d.]+),([-\d.]+)L([-\d.]+),([-\d.]+)"/g)];
            const ends = [...picture.matchAll(/class="end" x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)/g)];
            expect(leads.length).toBeGreaterThan(0);
            expect(picture.match(/class="bolt"/g)).toHaveLength(3);
            expect(ends).toHaveLength(2);
            const struck = ends.flatMap(([, endX, endY, text]) => {
                // Digits of 11 px stand on their y: some 8 high and 6 wide each.
                const [middle, foot, half] = [Number(endX), Number(endY), text!.length * 3];
                return leads.filter((lead) => {
                    const [x1, y1, x2, y2] = lead.slice(1).map(Number) as [number, number, number, number];
                    return Array.from({ length: 201 }, (_, step) => step / 200).some((share) => {
                        const [x, y] = [x1 + (x2 - x1) * share, y1 + (y2 - y1) * share];
                        return Math.abs(x - middle) < half && y < foot && y > foot - 8;
                    });
                });
            });
            expect(struck).toEqual([]);
        }),
        { seed: 8, numRuns: 200 },
    );
});

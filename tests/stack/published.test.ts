import { expect, test } from 'vitest';
import { boxes, stacksOf } from '../support/stacks.js';

/**
 * Motor assembly: does the screw bottom in the shaft? P. Drake (ed.), Dimensioning and Tolerancing Handbook, McGraw-Hill 1999,
 * chapter 9, "Traditional Approaches to Analyzing Mechanical Tolerance Stacks". Dimensions and printed results as quoted by a
 * public test file (github.com/phcreery/dimstack, tests/test_McGrawHill.py, comments), recomputed here; lengths in inches,
 * limits made symmetrical about their middle: .375 +0/-.031 is .3595 +- .0155, .438 +0/-.015 is .4305 +- .0075, 1.500
 * +.010/-.004 is 1.503 +- .007, 3.019 +.012/-0 is 3.025 +- .006.
 */
test('a stack of parts on a shaft with a thread, published worst case and root sum of squares', async () => {
    const inch = 25.4;
    const part = (role: string, height: number, tol: number, count = 1) => ({
        role,
        height_mm: height * inch,
        height_tol_mm: tol * inch,
        required: 'yes' as const,
        count,
    });
    const db = await boxes(
        {
            motor: [
                part('bush', 0.032, 0.002), // washer
                part('spring_plate', 0.06, 0.003), // inner bearing cap
                part('spacer', 0.4305, 0.0075), // bearing
                part('spacer', 0.12, 0.005), // spacer
                part('spacer', 1.503, 0.007), // rotor
                part('lower_adapter', 0.12, 0.005), // spacer
                part('bearing', 0.4305, 0.0075), // bearing
                part('upper_adapter', 0.45, 0.007), // pulley
                part('nut', 0.3, 0.03), // tapped hole
            ],
        },
        [
            {
                shoulder_length_mm: 3.025 * inch, // shaft
                shoulder_tol_mm: 0.006 * inch,
                thread_length_mm: 0.3595 * inch, // screw thread
                thread_tol_mm: 0.0155 * inch,
            },
        ],
    );
    const [row] = await stacksOf(db);
    db.close();
    // The clearance of the book is that of the screw under the bottom of the hole: the thread that shows, with the sign changed.
    const gap = -row!.thread_shown_mm! / inch;
    const worst = (row!.thread_shown_mm! - row!.thread_shown_low_mm!) / inch;
    const statistical = (row!.thread_shown_mm! - row!.thread_shown_rss_low_mm!) / inch;
    // Printed: gap .0615; worst case +-.0955, so -.0340 to .1570; RSS +-.0381, so .0234 to .0996.
    expect(gap).toBeCloseTo(0.0615, 7);
    expect(worst).toBeCloseTo(0.0955, 7);
    expect(gap - worst).toBeCloseTo(-0.034, 7);
    expect(Number(statistical.toFixed(4))).toBe(0.0381);
    expect(Number((gap + statistical).toFixed(4))).toBe(0.0996);
});

/** Three parts in a housing, ficientdesign.com, "Tolerance Stack-Up Analysis", worked example with printed results. */
test('parts against one length, published worst case and root sum of squares', async () => {
    const part = (role: string, height_mm: number, height_tol_mm: number) => ({
        role,
        height_mm,
        height_tol_mm,
        required: 'yes' as const,
    });
    const db = await boxes(
        {
            K: [
                part('lower_adapter', 2, 0.005),
                part('bearing', 1.5, 0.003),
                part('upper_adapter', 0.5, 0.002),
            ],
        },
        [{ shoulder_length_mm: 4.02, shoulder_tol_mm: 0.005, thread_length_mm: 1 }],
    );
    const [row] = await stacksOf(db);
    db.close();
    // Printed for the gap between parts and housing: .020 +- .015, .005 to .035; RSS +- .00794, .012 to .028.
    expect(row!.shoulder_margin_mm).toBeCloseTo(-0.02, 9);
    expect([row!.shoulder_margin_low_mm, row!.shoulder_margin_high_mm]).toEqual([-0.035, -0.005]);
    expect(row!.shoulder_margin_rss_high_mm - row!.shoulder_margin_mm).toBeCloseTo(0.00794, 5);
    expect(Number(row!.shoulder_margin_rss_low_mm.toFixed(3))).toBe(-0.028);
    expect(Number(row!.shoulder_margin_rss_high_mm.toFixed(3))).toBe(-0.012);
});

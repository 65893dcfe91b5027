import { afterAll, beforeAll, expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterAll(() => db.close());

interface Case {
    need: { out: number; aft: number };
    middle: { out: number; aft: number };
    /** Direction of the slot, degrees from outboard towards rearward. */
    turn: number;
    /** Half-length of the second scale, mm. */
    side: number;
    camber: { slope_out: number; slope_aft: number; tol: number | null };
    caster: { slope_out: number; slope_aft: number; tol: number | null };
}

const slopes = {
    camber: { slope_out: 0.09, slope_aft: 0.002, tol: 0.15 },
    caster: { slope_out: -0.001, slope_aft: 0.092, tol: 0.5 },
};
const across: Case = { need: { out: 0, aft: 0 }, middle: { out: 0, aft: 2 }, turn: 0, side: 0, ...slopes };

async function required(cases: readonly Case[]): Promise<number[]> {
    const direction = (degrees: number, length: number) => ({
        out: length * Math.cos((degrees * Math.PI) / 180),
        aft: length * Math.sin((degrees * Math.PI) / 180),
    });
    const vector = '{"out":"DOUBLE","aft":"DOUBLE"}';
    const angle = '{"slope_out":"DOUBLE","slope_aft":"DOUBLE","tol":"DOUBLE"}';
    const rows = await db.cells(
        `select required_half_length(need, middle, slot_normals(slot, side, camber, caster)) as mm
        from (select unnest(from_json($cases::json,
            '[{"need":${vector},"middle":${vector},"slot":${vector},"side":${vector},"camber":${angle},"caster":${angle}}]'
        ), max_depth := 2))`,
        {
            cases: JSON.stringify(
                cases.map(({ turn, side, ...one }) => ({
                    ...one,
                    slot: direction(turn, 1),
                    side: direction(turn + 90, side),
                })),
            ),
        },
    );
    return rows.map((row) => row.mm as number);
}

/** Least half-length by trying places of the pointers: a grid of 0.02 mm along the slot, the second scale in 400 steps. */
function tried({ need, middle, turn, side, camber, caster }: Case, longest: number): number {
    const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
    const meets = (along: number, beside: number) => {
        const out = middle.out + along * c - beside * s - need.out;
        const aft = middle.aft + along * s + beside * c - need.aft;
        return [camber, caster].every(
            ({ slope_out, slope_aft, tol }) =>
                tol === null || Math.abs(slope_out * out + slope_aft * aft) <= tol,
        );
    };
    for (let length = 0; length <= longest; length += 0.02) {
        for (let i = -200; i <= 200; i++) {
            const beside = (side * i) / 200;
            if (meets(length, beside) || meets(-length, beside)) return length;
            if (side === 0) break;
        }
    }
    return Number.POSITIVE_INFINITY;
}

test('by hand: a slot straight across, camber alone decides how long', async () => {
    const square = {
        ...across,
        camber: { slope_out: 0.1, slope_aft: 0, tol: 0.2 },
        caster: { slope_out: 0, slope_aft: 0.1, tol: 0.5 },
    };
    expect(
        await required([
            { ...square, need: { out: 1.9, aft: 2 } },
            { ...square, need: { out: -7, aft: 2 } },
            { ...square, need: { out: -7, aft: 6.9 } },
            // 5.1 mm aft of the slot, where caster leaves 5 mm.
            { ...square, need: { out: -7, aft: 7.1 } },
        ]),
    ).toEqual([0, expect.closeTo(7 - 2, 12), expect.closeTo(7 - 2, 12), Number.POSITIVE_INFINITY]);
});

test('a target without caster asks only for camber, one without a tolerance for nothing', async () => {
    const far = { ...across, need: { out: -7, aft: 90 }, turn: 0 };
    const camberOnly = { ...far, caster: { ...slopes.caster, tol: null } };
    const camber = Math.abs(0.09 * -7 + 0.002 * (90 - 2));
    expect(await required([camberOnly])).toEqual([expect.closeTo((camber - 0.15) / 0.09, 12)]);
    expect(await required([{ ...camberOnly, camber: { ...slopes.camber, tol: null } }])).toEqual([0]);
});

test('400 slots at random against trying every place of the pointers', async () => {
    const random = new Random(5);
    const cases = Array.from(
        { length: 400 },
        (_, i): Case => ({
            need: { out: random.normal(0, 8), aft: random.normal(0, 8) },
            middle: { out: random.normal(0, 2), aft: random.normal(0, 2) },
            turn: 360 * random.uniform(),
            side: i % 3 === 0 ? 6 * random.uniform() : 0,
            camber: {
                slope_out: 0.085 + 0.01 * random.uniform(),
                slope_aft: random.normal(0, 0.01),
                tol: 0.1 + 0.3 * random.uniform(),
            },
            caster: {
                slope_out: random.normal(0, 0.01),
                slope_aft: 0.085 + 0.01 * random.uniform(),
                tol: i % 7 === 0 ? null : 0.2 + 0.6 * random.uniform(),
            },
        }),
    );
    const exact = await required(cases);
    const wrong = cases.filter((one, i) => {
        const grid = tried(one, 30);
        const near = Math.abs(grid - exact[i]!) < 0.05;
        // Beyond the grid, and where the feasible stretch is narrower than its steps, the grid may miss it.
        return !(
            near ||
            (grid === Number.POSITIVE_INFINITY && exact[i]! > 29.9) ||
            (one.side > 0 && grid - exact[i]! < 0.3 && grid > exact[i]!)
        );
    });
    expect(exact.filter((mm) => mm < 30).length).toBeGreaterThan(150);
    expect(exact.filter((mm) => mm === Number.POSITIVE_INFINITY).length).toBeGreaterThan(50);
    expect(wrong).toEqual([]);
});

test('mirroring the car, and turning everything about the plate, change nothing', async () => {
    const one = { ...across, need: { out: -6, aft: 5 }, turn: 25, side: 2 };
    const flip = ({ slope_out, slope_aft, tol }: Case['camber']) => ({
        slope_out: -slope_out,
        slope_aft,
        tol,
    });
    const mirrored = {
        ...one,
        need: { out: 6, aft: 5 },
        turn: 180 - 25,
        camber: flip(one.camber),
        caster: flip(one.caster),
    };
    const [first, second] = await required([one, mirrored]);
    expect(second).toBeCloseTo(first!, 9);
    expect(first).toBeGreaterThan(0);
});

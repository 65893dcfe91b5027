import type { Design, Vector } from './model.js';

/** The slot in one bolt position and hand: middle, direction of length 1 and half the second scale, vehicle frame. */
export interface Slot {
    index: number;
    own: boolean;
    middle: Vector;
    along: Vector;
    side: Vector;
}

function turned({ out, aft }: Vector, degrees: number): Vector {
    const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    return { out: out * c - aft * s, aft: out * s + aft * c };
}

/** Every way a plate can sit: contract, section 3. */
export function slotsOf(design: Design): Slot[] {
    return Array.from({ length: design.index_count }, (_, place) => {
        const turn = place * design.index_step_deg;
        const own = {
            middle: turned(design.middle, turn),
            along: turned({ out: 1, aft: 0 }, design.axis_deg + turn),
            side: turned({ out: 0, aft: design.side_mm }, design.axis_deg + turn),
        };
        const mirror = ({ out, aft }: Vector): Vector => ({ out: -out, aft });
        const other = { middle: mirror(own.middle), along: mirror(own.along), side: mirror(own.side) };
        return [
            { index: place + 1, own: true, ...own },
            { index: place + 1, own: false, ...other },
        ];
    }).flat();
}

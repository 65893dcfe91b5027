import type { Rows } from './memory.js';

/** Even numbers between 0 and 1, Numerical Recipes' quick generator put through a mix; and normal ones of it. */
export function seeded(seed: number) {
    let state = seed >>> 0;
    const uniform = () => {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
        let mixed = Math.imul(state ^ (state >>> 16), 0x45d9f3b);
        mixed = Math.imul(mixed ^ (mixed >>> 16), 0x45d9f3b);
        return (((mixed ^ (mixed >>> 16)) >>> 0) + 0.5) / 4294967296;
    };
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    return { uniform, normal };
}

export interface InstallField {
    chassis?: string;
    cars: number;
    /** deg/mm of the chassis. */
    slopes: { camber_out: number; camber_aft: number; caster_out: number; caster_aft: number };
    /** What the kit adds besides, deg: its bearing sits higher or lower. */
    constants: { camber: number; caster: number };
    /** Standard deviation of a reading, deg. */
    noise: { camber: number; caster: number };
    kit?: string;
    /** Spread of slopes from car to car, a share. */
    carSpread?: number;
}

const hundredth = (value: number) => Math.round(value * 100) / 100;

/**
 * Cars that came with their original mounts and left with a kit, its offsets of each corner drawn evenly: linear in the offset, with
 * the slopes of the car, toe put back to what it was.
 */
export function installField(
    { chassis = 'X', cars, slopes, constants, noise, kit = 'K', carSpread = 0 }: InstallField,
    { uniform, normal }: ReturnType<typeof seeded>,
): Rows {
    return Array.from({ length: cars }, (_, n) => {
        const own = 1 + carSpread * normal();
        return ['FL', 'FR'].flatMap((corner) => {
            const [out, aft] = [hundredth(16 * uniform() - 8), hundredth(12 * uniform() - 6)];
            const [camber, caster] = [-0.8 + 0.4 * normal(), 5 + 0.5 * normal()];
            const common = {
                vehicle: `${chassis}${n}`,
                chassis,
                corner,
                measured_at: '2026-01-01',
                visit: `${chassis}${n}`,
                visit_kind: 'install',
            };
            const camberMove = own * (slopes.camber_out * out + slopes.camber_aft * aft);
            const casterMove = own * (slopes.caster_out * out + slopes.caster_aft * aft);
            return [
                {
                    ...common,
                    phase: 'before',
                    toe_deg: 0.1,
                    camber_deg: hundredth(camber + noise.camber * normal()),
                    caster_deg: hundredth(caster + noise.caster * normal()),
                },
                {
                    ...common,
                    phase: 'after',
                    toe_deg: 0.1,
                    kit,
                    offset_out_mm: out,
                    offset_aft_mm: aft,
                    camber_deg: hundredth(camber + constants.camber + camberMove + noise.camber * normal()),
                    caster_deg: hundredth(caster + constants.caster + casterMove + noise.caster * normal()),
                },
            ];
        });
    }).flat();
}

import { alongSlot, type Car, placeColumns, sides, slipped } from '../../fixtures/physics/car.js';
import { designs } from '../../fixtures/physics/chassis.js';
import { anglesAt } from '../../fixtures/physics/corner.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { goodRack, hundredths, read, zero } from '../../fixtures/physics/gauge.js';
import type { Random } from '../../fixtures/physics/random.js';
import { withBiasAndSetUps } from './measuredFields.js';
import type { Rows } from './memory.js';

const gauge = { gauge: 'rack A', noise: goodRack, bias: zero, step: hundredths };

/** Half a mark is read: the pointer is up to a quarter off, either way, or up to `most` marks. */
export const pointerError = (random: Random, most = 0.25) => most * (2 * random.uniform() - 1);

/**
 * `count` fleets of 3 chassis with 8 cars each, which tell the slopes; of every chassis 4 cars are then read once more, pointers off within
 * half a mark - in all visits by up to `pointer` marks - and stand in `cars` as they truly are. Each fleet has a rack of its own, whose bias and set-ups are those that sql/gauges/angle_priors expects.
 */
export function askedFleets(
    count: number,
    seeds: { fleet: number; rack: number },
    random: Random,
    pointer?: number,
): { readings: Rows[number][]; cars: Map<string, Car> } {
    const readings: Rows[number][] = [];
    const cars = new Map<string, Car>();
    for (let f = 0; f < count; f++) {
        const fleet = simulateFleet({
            seed: seeds.fleet + f,
            designs: designs.filter((_, i) => i % 2 === f % 2),
            vehicles: 8,
            visits: 2,
            prefix: `fleet ${f} `,
            ...(pointer === undefined ? {} : { pointer }),
        });
        const asked: Rows[number][] = [];
        for (const car of fleet.cars.filter((_, i) => i % 2 === 0)) {
            cars.set(car.vehicle, car);
            for (const side of sides) {
                const believed = car.fronts[side];
                const front =
                    pointer === undefined
                        ? slipped(believed, alongSlot(believed, pointerError(random)))
                        : believed;
                car.fronts[side] = front;
                asked.push({
                    vehicle: car.vehicle,
                    chassis: car.chassis,
                    corner: side,
                    measured_at: '2027-01-01',
                    visit: 'asked',
                    visit_kind: 'check',
                    phase: 'before',
                    ...placeColumns(front, side),
                    ...read(anglesAt(front.corner, front.state), gauge, random),
                    gauge: gauge.gauge,
                });
            }
        }
        readings.push(...withBiasAndSetUps([...fleet.readings, ...asked], `rack ${f}`, seeds.rack + f));
    }
    return { readings, cars };
}

import { type Block, type Column, table } from '../../src/report/blocks.js';
import { carAnchor } from '../../src/report/carAnchor.js';
import { probabilityCell } from '../../src/units/probabilityWords.js';
import type { Rows } from './rows.js';
import { angle } from './words.js';

type Car = Rows['cars'][number];

const columns: Column<Car>[] = [
    { title: 'car', value: (row) => row.vehicle, href: (row) => `car.html#${carAnchor(row.vehicle)}` },
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'visit', value: (row) => row.visit },
    { title: 'day', value: (row) => row.day },
    { title: 'target', value: (row) => row.target },
    { title: 'corner', value: (row) => row.corner },
    { title: 'angle', value: (row) => angle[row.response] },
    { title: 'off by, °', value: (row) => row.error_deg, digits: 2 },
    { title: 'allowed, ±', value: (row) => row.tol_deg, digits: 2 },
    { title: 'inside with probability', value: (row) => probabilityCell(row.p_inside) },
    { title: 'other angles', value: (row) => row.other_count },
    { title: 'what to do', value: (row) => row.what },
];

/** The cars to call back, worst first. */
export function carsTable({ cars }: Rows): Block[] {
    if (cars.length === 0)
        return [
            {
                kind: 'paragraph',
                text: 'No car: the newest setting of every car is likelier inside than not.',
            },
        ];
    const all = cars[0]!.car_count;
    const caption =
        cars.length === all
            ? `${all} cars whose newest setting is outside, or likelier outside than inside; one row each, its worst angle`
            : `The ${cars.length} worst of ${all} cars whose newest setting is outside, or likelier outside than inside; its worst angle each`;
    return [table(caption, cars, columns)];
}

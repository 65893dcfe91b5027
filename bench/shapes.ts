/** Readings crowded into one thing: what stands in a column instead, and a car and a chassis that they hold. */
export interface Shape {
    name: string;
    columns: Readonly<Record<string, string>>;
    vehicle: string;
    chassis: string;
}

const one = { vehicle: 'v', chassis: 'c' };
const many = { vehicle: 'v00000000', chassis: 'c00000' };
const front = "corner in ('FL', 'FR')";

/** The readings of `bench/readings.sql` as they are, and the shapes that a database of one owner, car or visit has. */
export const shapes: readonly Shape[] = [
    { name: 'spread', columns: {}, ...many },
    { name: 'one chassis', columns: { chassis: "'c'" }, ...many, chassis: 'c' },
    {
        name: 'one car',
        columns: { chassis: "'c'", vehicle: "'v'", visit: "vehicle || ' ' || visit" },
        ...one,
    },
    {
        name: 'one corner',
        columns: {
            chassis: "'c'",
            vehicle: "'v'",
            corner: "'FL'",
            visit: "concat_ws(' ', vehicle, corner, visit)",
        },
        ...one,
    },
    {
        // As many as a visit holds: four corners, three phases, a thousand repeats; then the next car's begins.
        name: 'one visit',
        columns: {
            chassis: "'c'",
            vehicle: "'v' || (row_number() over () - 1) // 12000",
            corner: "['FL', 'FR', 'RL', 'RR'][(row_number() over () - 1) // 1000 % 4 + 1]",
            visit: "'adjust'",
            visit_kind: "'adjust'",
            phase: "['before', 'moved', 'after'][(row_number() over () - 1) // 4000 % 3 + 1]",
            repeat: '(row_number() over () - 1) % 1000 + 1',
            measured_at: "'2026-03-02'",
            session: 'null',
        },
        ...one,
        vehicle: 'v0',
    },
    {
        name: 'all alike',
        columns: {
            camber_deg: '-1.2',
            caster_deg: `case when ${front} then 4.5 end`,
            toe_deg: '0.1',
            sai_deg: `case when ${front} then 13 end`,
            mark_1: `case when ${front} then case phase when 'before' then 2 else 3 end end`,
        },
        ...many,
    },
];

/** The readings that the query `readings` makes, in `shape`. */
export function shapedQuery(readings: string, { columns }: Shape): string {
    const changed = Object.entries(columns).map(([column, value]) => `${value} as ${column}`);
    return changed.length === 0 ? readings : `select * replace (${changed.join(', ')}) from (${readings})`;
}

/** The same readings crowded into one thing: what is in each column instead, over the readings of `bench/readings.sql`. */
export const shapes: Readonly<Record<string, Readonly<Record<string, string>>>> = {
    spread: {},
    'one chassis': { chassis: "'c'" },
    'one car': { chassis: "'c'", vehicle: "'v'", visit: "vehicle || ' ' || visit" },
    'one corner': {
        chassis: "'c'",
        vehicle: "'v'",
        corner: "'FL'",
        visit: "concat_ws(' ', vehicle, corner, visit)",
    },
    'one visit': {
        chassis: "'c'",
        vehicle: "'v'",
        visit: "'adjust'",
        visit_kind: "'adjust'",
        repeat: 'row_number() over ()',
        measured_at: "'2026-03-02'",
        session: 'null',
    },
    'all alike': {
        camber_deg: '-1.2',
        caster_deg: "case when corner in ('FL', 'FR') then 4.5 end",
        toe_deg: '0.1',
        sai_deg: "case when corner in ('FL', 'FR') then 13 end",
        mark_1: "case when corner in ('FL', 'FR') then case phase when 'before' then 2 else 3 end end",
    },
    'a gauge a reading': {
        gauge: "'gauge ' || row_number() over ()",
        technician: "'tech ' || row_number() over ()",
    },
};

/** The readings that the query `readings` makes, in `shape`. */
export function shapedQuery(readings: string, shape: string): string {
    const changed = Object.entries(shapes[shape]!).map(([column, value]) => `${value} as ${column}`);
    return changed.length === 0 ? readings : `select * replace (${changed.join(', ')}) from (${readings})`;
}

import { z } from 'zod';
import type { CheckRow } from '../contracts/results/check.js';
import { type Database, identifier } from '../db/database.js';
import type { Check } from './checks.js';

/** What a check of habits adds to its rows: whose numbers it judged. */
export const sourceColumns = z.object({
    source_kind: z.enum(['file', 'technician', 'gauge', 'visit']).nullish(),
    source_name: z.string().nullish(),
});
type Source = z.infer<typeof sourceColumns>;

const visitOfSource = z.object({ name: z.string(), vehicle: z.string(), visit: z.string() });

/** How much surer than its cause a finding that is a cause itself must be to stand for itself. */
const MARGIN = 0.05;

const placeOf = (...parts: (string | null)[]) => JSON.stringify(parts);

/** The places that a finding about `row` may be a part of: its corner, visit, car and chassis, each named or not. */
function placesAround({ chassis, vehicle, visit, corner }: CheckRow): string[] {
    const either = (value: string | null) => (value === null ? [null] : [value, null]);
    return either(vehicle).flatMap((car) =>
        either(visit).flatMap((at) => either(corner).map((side) => placeOf(chassis, car, at, side))),
    );
}

/** The visits, and where a finding names none the cars, of a file, technician or gauge. */
const placeOfSource = (vehicle: string, visit: string | null) => placeOf('', vehicle, visit, null, 'source');

/** How sure the surest open finding of one check is, by the place that it is about: one lookup, however many findings there are. */
class CausesOfCheck {
    readonly check: Check;
    readonly #surest = new Map<string, number>();

    constructor(check: Check) {
        this.check = check;
    }

    add(place: string, p: number): void {
        this.#surest.set(place, Math.max(p, this.#surest.get(place) ?? 0));
    }

    reaches(places: readonly string[], p: number): boolean {
        return places.some((place) => (this.#surest.get(place) ?? Number.NEGATIVE_INFINITY) >= p);
    }
}

/** Open findings of the checks asked so far that may explain those of later ones. */
export class Causes {
    /** About a chassis, file, technician or gauge, which are looked at first. */
    readonly #general: CausesOfCheck[] = [];
    readonly #ofCars: CausesOfCheck[] = [];

    /** The check whose finding makes `row` of `check` a likely consequence; null where it stands for itself. */
    of(check: Check, row: CheckRow): string | null {
        const causes = [...this.#general, ...this.#ofCars].filter((one) =>
            one.check.explains.includes(check.name),
        );
        if (causes.length === 0) return null;
        const margin = check.explains.length > 0 ? MARGIN : 1;
        const places = placesAround(row);
        if (row.vehicle !== null) places.push(placeOfSource(row.vehicle, row.visit));
        const cause = causes.find((one) => one.reaches(places, (row.p_mistake ?? 0) - margin));
        return cause?.check.name ?? null;
    }

    /** Notes the open findings of `check`. */
    async add(db: Database, check: Check, open: readonly { row: CheckRow; source: Source }[]): Promise<void> {
        if (check.explains.length === 0 || open.length === 0) return;
        const general = new CausesOfCheck(check);
        const ofCars = new CausesOfCheck(check);
        const bySource = new Map<string, Map<string, number>>();
        for (const { row, source } of open) {
            const p = row.p_mistake ?? 0;
            const { source_kind, source_name } = source;
            if (row.vehicle === null && source_kind && source_name) {
                const column = source_kind === 'file' ? 'source_file' : source_kind;
                const names = bySource.get(column) ?? new Map<string, number>();
                bySource.set(column, names.set(source_name, p));
            } else {
                const { chassis, vehicle, visit, corner } = row;
                (vehicle === null ? general : ofCars).add(placeOf(chassis, vehicle, visit, corner), p);
            }
        }
        for (const [column, names] of bySource) {
            const visits = await db.rows(
                visitOfSource,
                `select distinct ${identifier(column)} as name, vehicle, visit from readings
                where ${identifier(column)} in (select unnest(from_json($names::json, '["VARCHAR"]')))`,
                { names: JSON.stringify([...names.keys()]) },
            );
            for (const { name, vehicle, visit } of visits) {
                general.add(placeOfSource(vehicle, visit), names.get(name)!);
                general.add(placeOfSource(vehicle, null), names.get(name)!);
            }
        }
        this.#general.push(general);
        this.#ofCars.push(ofCars);
    }
}

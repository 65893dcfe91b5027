import { z } from 'zod';
import { kinds } from '../contracts/kinds.js';
import type { StartRow } from '../contracts/results/start.js';
import { type Database, identifier } from '../db/database.js';
import { programName } from '../errors/programName.js';
import { counted, listed, shellWord } from '../errors/words.js';

type Kind = (typeof kinds)[number];

/** What a database holds, and what can be asked of it. */
export interface Standing extends Omit<StartRow, 'database' | 'exists'> {
    /** Sentences about what a further file would add, and about names that nothing explains. */
    notes: string[];
}

const heldRow = z.object({
    reading_count: z.int(),
    vehicle_count: z.int(),
    chassis_count: z.int(),
    visit_count: z.int(),
    newest_on: z.string().nullable(),
    session_count: z.int(),
    rejected_count: z.int(),
    vehicle: z.string().nullable(),
    kit: z.string().nullable(),
    target: z.string().nullable(),
    setting_count: z.int(),
    reader_count: z.int(),
});

const nameRow = z.object({ name: z.string(), reading_count: z.int(), example: z.string() });

/** What each further kind of file would let one ask. */
const adds: Readonly<Record<Kind, string>> = {
    readings: 'everything rests on them',
    kits: 'what a mark is in millimetres: slopes, advise and clocking need it',
    targets: 'advise --target, clocking, audit and range',
    sessions: 'what a session did to the settings, by surface and distance: drift',
    shafts: 'with hardware: stack, which parts make a sound stack',
    hardware: 'with shafts: stack, which parts make a sound stack',
    changes: 'which settings are not to be compared: what was changed on a car, and when',
    rules: 'whether a setting keeps to a class, as an inspector reads it: advise --class',
    references: 'what a gauge adds to the true angle: gauges, and narrower intervals in advise',
};

async function unknownNames(db: Database, column: 'kit' | 'target', table: 'kits' | 'targets') {
    return db.rows(
        nameRow,
        `select ${column} as name, count(*) as reading_count,
            arg_min(source_file || ' line ' || source_line, (source_file, source_line)) as example
        from readings where ${column} is not null and ${column} not in (select ${column} from ${table})
        group by ${column} order by reading_count desc, name`,
    );
}

/** Commands that the rows at hand can answer, most useful first, without the name of the program. */
function questions(held: z.infer<typeof heldRow>, rowCounts: ReadonlyMap<Kind, number>): string[] {
    const { vehicle, target } = held;
    const has = (kind: Kind) => rowCounts.get(kind)! > 0;
    const car = vehicle === null ? null : shellWord(vehicle);
    return [
        ...(held.rejected_count > 0 ? ['rejects'] : []),
        'check',
        ...(car === null || target === null ? [] : [`advise --vehicle ${car} --target ${shellWord(target)}`]),
        ...(car === null ? [] : [`advise --vehicle ${car} --change camber=-0.5`]),
        ...(car === null || held.setting_count === 0 ? [] : [`history --vehicle ${car}`]),
        ...(has('kits') ? ['slopes'] : []),
        ...(held.setting_count > 0 && has('targets') ? ['audit'] : []),
        ...(held.session_count > 0 ? ['drift'] : []),
        ...(held.reader_count > 0 ? ['gauges'] : []),
        ...(has('shafts') && has('hardware') ? ['stack --help'] : []),
        'report --out pages',
    ];
}

function unknownNote(
    names: readonly z.infer<typeof nameRow>[],
    one: string,
    file: string,
    lost: string,
): string[] {
    if (names.length === 0) return [];
    const count = names.reduce((sum, { reading_count }) => sum + reading_count, 0);
    return [
        `${counted(names.length, `${one} is`, `${one}s are`)} named in ${counted(count, 'reading')} and not known: ${listed(names.map(({ name }) => name))} (first: ${names[0]!.example}). Add ${names.length === 1 ? 'it' : 'them'} to a ${file} file and load that; until then ${lost}.`,
    ];
}

/** Counts, names that nothing explains, and what to type next. Asks input tables only, so that it is quick at any size. */
export async function standing(db: Database): Promise<Standing> {
    const counts = await db.cells(
        kinds
            .map((kind) => `select '${kind}' as kind, count(*) as rows from ${identifier(kind)}`)
            .join(' union all '),
    );
    const rowCounts = new Map(counts.map(({ kind, rows }) => [kind as Kind, Number(rows)]));
    const [held] = await db.rows(
        heldRow,
        `select
            count(*) as reading_count,
            count(distinct vehicle) as vehicle_count,
            count(distinct chassis) as chassis_count,
            count(distinct (vehicle, visit)) as visit_count,
            max(left(measured_at, 10)) as newest_on,
            count(*) filter (where visit_kind = 'session') as session_count,
            count(*) filter (where visit_kind in ('install', 'adjust') and phase = 'after' and corner in ('FL', 'FR')) as setting_count,
            count(coalesce(gauge, technician)) as reader_count,
            (select count(*) from rejects where cleared_by is null) as rejected_count,
            arg_max(vehicle, measured_at) filter (
                where corner in ('FL', 'FR') and kit in (select kit from kits where mark_min is not null)
                    and plate_index is not null and camber_deg is not null
            ) as vehicle,
            any_value(kit) as kit,
            (
                select usable.target
                from (
                    select distinct target from targets
                    where (camber_deg is null or camber_tol_deg is not null) and (caster_deg is null or caster_tol_deg is not null)
                        and coalesce(camber_deg, caster_deg) is not null and chassis is null
                ) as usable
                left join (select target, count(*) as named from readings group by target) as named using (target)
                order by coalesce(named, 0) desc, target
                limit 1
            ) as target
        from readings`,
    );
    const kits = await unknownNames(db, 'kit', 'kits');
    const targets = await unknownNames(db, 'target', 'targets');
    const missing = kinds.filter((kind) => rowCounts.get(kind) === 0);
    const {
        vehicle: _,
        kit: __,
        target: ___,
        session_count: ____,
        setting_count: _____,
        reader_count: ______,
        ...shown
    } = held!;
    return {
        ...shown,
        unknown_kits: kits.map(({ name }) => name),
        unknown_targets: targets.map(({ name }) => name),
        missing_kinds: missing,
        next:
            held!.reading_count === 0
                ? []
                : questions(held!, rowCounts).map((words) => `${programName()} ${words}`),
        notes: [
            ...unknownNote(kits, 'kit', 'kits', 'their marks say nothing in millimetres'),
            ...unknownNote(targets, 'target', 'targets', 'audit cannot judge these settings'),
            ...(missing.length === 0
                ? []
                : [
                      `Not loaded yet, and what each would add: ${missing.map((kind) => `${kind} (${adds[kind]})`).join('; ')}.`,
                  ]),
        ],
    };
}

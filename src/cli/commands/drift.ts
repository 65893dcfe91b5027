import { Option } from 'commander';
import type { DriftRow } from '../../contracts/results/drift.js';
import type { Database } from '../../db/database.js';
import { UsageError } from '../../errors/errors.js';
import { unreadableDate } from '../../errors/messages.js';
import { counted } from '../../errors/words.js';
import { carCauses, cornerCauses, priorCount } from '../../stats/drift/causes/index.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { cautionNote } from '../settingOptions.js';

/** ` (crew: 1 hit; kerb at turn 4)`: what was written of the session; empty where nothing was. */
function crewWords({ hits, session_note }: DriftRow): string {
    const written = [hits === null ? null : counted(hits, 'hit'), session_note].filter((one) => one !== null);
    return written.length === 0 ? '' : ` (crew: ${written.join('; ')})`;
}

const columns: TableColumn<DriftRow>[] = [
    { title: 'vehicle', value: (row) => row.vehicle },
    { title: 'visit', value: (row) => row.visit },
    { title: 'corner', value: (row) => row.corner },
    { title: 'camber', value: (row) => row.camber_change_deg, digits: 2, drop: 4 },
    { title: 'caster', value: (row) => row.caster_change_deg, digits: 2, drop: 2 },
    { title: 'toe', value: (row) => row.toe_change_deg, digits: 2, drop: 3 },
    { title: 'SAI', value: (row) => row.sai_change_deg, digits: 2, drop: 2 },
    { title: 'chance held', value: (row) => row.p_held, digits: 2, drop: 1 },
    { title: 'plate', value: (row) => row.p_plate_moved, digits: 2, drop: 1 },
    { title: 'bent', value: (row) => row.p_bent, digits: 2, drop: 1 },
    { title: 'other', value: (row) => row.p_other, digits: 2, drop: 1 },
    { title: 'verdict', value: (row) => row.verdict.replace('_', ' ') },
    {
        title: 'what',
        value: (row) => {
            const told =
                row.reading_that_would_tell === null
                    ? row.words
                    : `${row.words}; read ${row.reading_that_would_tell}`;
            return row.verdict === 'held' || row.reason !== null ? told : `${told}${crewWords(row)}`;
        },
    },
];

function since(text: string): string {
    if (!/^\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2})?)?$/.test(text) || Number.isNaN(Date.parse(text))) {
        throw new UsageError(unreadableDate('--since', text));
    }
    return text;
}

/** Reads the config `file`; returns what makes it hold in a database. */
async function configApplied(file: string): Promise<(db: Database) => Promise<void>> {
    const { applyDriftConfig, readDriftConfig } = await import('../../model/driftConfig.js');
    const config = readDriftConfig(file);
    return (db) => applyDriftConfig(db, config, file);
}

interface Options {
    vehicle?: string;
    since?: string;
    all?: true;
    open?: true;
    config?: string;
}

const sharesHelp = (causes: readonly { name: string; share: number }[]) =>
    causes
        .filter(({ share }) => !Number.isNaN(share))
        .map(({ name, share }) => `        ${name}: ${share}`)
        .join('\n');

const configHelp = `
Config file (YAML or JSON), every line of which may be left out:
    corner_shares:            # of corner sessions, before the data
${sharesHelp(cornerCauses)}
    car_shares:               # of sessions
${sharesHelp(carCauses)}
    prior_count: ${priorCount}           # sessions that these count as against the data
    min_moved: 0.5            # probability from which something counts as moved
    min_class: 0.7            # share of it that the class named must hold
    min_held: 0.8
    false_discovery_rate: 0.05`;

const newestFirst = (a: DriftRow, b: DriftRow) =>
    (b.measured_ts ?? '').localeCompare(a.measured_ts ?? '') ||
    a.vehicle.localeCompare(b.vehicle) ||
    a.corner.localeCompare(b.corner);

/** What is still open, as the first sentence. */
function openNote(open: readonly DriftRow[]): string {
    const [newest] = open;
    if (newest === undefined)
        return 'Nothing is open: nothing is known to have moved that was not set again since.';
    const when = newest.measured_ts === null ? '' : ` of ${newest.measured_ts.slice(0, 10)}`;
    return `${counted(open.length, 'finding')} ${open.length === 1 ? 'is' : 'are'} open, the newest ${newest.vehicle} ${newest.corner}${when}; what a later setting has closed comes after.`;
}

export default {
    describe: 'what each session did to the settings, and the likely cause',
    example: 'drift --vehicle "car 1"',
    build(command, context) {
        command
            .option('--vehicle <id>', 'only this car, corners that held included')
            .addOption(new Option('--since <date>', 'sessions from this day on').argParser(since))
            .option('--all', 'show corners that held too (--json always does)')
            .option('--open', 'only what nothing has set right since, the newest first')
            .option('--config <file>', 'prior odds and rules, see below')
            .addHelpText('after', configHelp)
            .action(async (options: Options) => {
                const { withModel } = await import('../withModel.js');
                const { config: file } = options;
                const everything =
                    context.options(command).json === true ||
                    options.all === true ||
                    options.vehicle !== undefined;
                const applyConfig = file === undefined ? null : await configApplied(file);
                const { rows, notes } = await withModel(command, context, async () => {
                    const { drift, driftNeeds } = await import('../../model/drift.js');
                    return {
                        needs: driftNeeds,
                        ask: async (db) => {
                            await applyConfig?.(db);
                            return drift(db, { ...options, notHeld: !everything });
                        },
                    };
                });
                const isForPeople = context.options(command).json !== true;
                const asked = options.open === true ? rows.filter(({ is_open }) => is_open) : rows;
                const open = rows.filter(({ is_open }) => is_open).sort(newestFirst);
                const ordered = isForPeople
                    ? [...open, ...asked.filter(({ is_open }) => !is_open).sort(newestFirst)]
                    : asked;
                // One note alone says that there is no session.
                const said = notes.length === 1 ? [...notes, openNote(open)] : [openNote(open), ...notes];
                await context
                    .output(command)
                    .result('drift', ordered, [...said, cautionNote()], columns, [], {
                        lead: options.vehicle === undefined ? 3 : 4,
                    });
            });
    },
} satisfies CommandModule;

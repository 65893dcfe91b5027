import { Option } from 'commander';
import type { DriftRow, UnrecordedRow } from '../../contracts/results/drift.js';
import { counted } from '../../errors/words.js';
import { drift, since } from '../../library/questions.js';
import type { DriftQuestion } from '../../library/types.js';
import { carCauses, cornerCauses, priorCount } from '../../stats/drift/causes/index.js';
import type { CommandModule } from '../command.js';
import { part, type TableColumn } from '../output.js';
import { withModel } from '../withModel.js';

/** ` (crew: 1 hit; kerb at turn 4)`: what was written of the session; empty where nothing was. */
function crewWords({ hits, session_note }: DriftRow): string {
    const written = [hits === null ? null : counted(hits, 'hit'), session_note].filter((one) => one !== null);
    return written.length === 0 ? '' : ` (crew: ${written.join('; ')})`;
}

const columns: TableColumn<DriftRow>[] = [
    { title: 'vehicle', value: 'vehicle' },
    { title: 'visit', value: 'visit' },
    { title: 'corner', value: 'corner' },
    { title: 'camber', value: 'camber_change_deg', digits: 2, drop: 4 },
    { title: 'caster', value: 'caster_change_deg', digits: 2, drop: 2 },
    { title: 'toe', value: 'toe_change_deg', digits: 2, drop: 3 },
    { title: 'SAI', value: 'sai_change_deg', digits: 2, drop: 2 },
    { title: 'chance held', value: 'p_held', digits: 2, drop: 1 },
    { title: 'plate', value: 'p_plate_moved', digits: 2, drop: 1 },
    { title: 'bent', value: 'p_bent', digits: 2, drop: 1 },
    { title: 'other', value: 'p_other', digits: 2, drop: 1 },
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

const unrecordedColumns: TableColumn<UnrecordedRow>[] = [
    { title: 'vehicle', value: 'vehicle' },
    { title: 'after', value: 'before_visit', drop: 2 },
    { title: 'found at', value: 'visit' },
    { title: 'corner', value: 'corner' },
    { title: 'camber', value: 'camber_judged_deg', digits: 2, drop: 1 },
    { title: 'toe', value: 'toe_judged_deg', digits: 2, drop: 1 },
    { title: 'chance held', value: 'p_held', digits: 2, drop: 1 },
    { title: 'what', value: 'words' },
];

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
            .action(async (options: DriftQuestion & { all?: true; open?: true }) => {
                const { json } = context.options;
                const notHeld = !json && !options.all && options.vehicle === undefined;
                const question = await drift({ ...options, notHeld });
                const { rows, notes, unrecorded } = await withModel(context, question);
                const isAsked = ({ is_open }: { is_open: boolean }) => !options.open || is_open;
                const asked = rows.filter(isAsked);
                const { openFirst } = await import('../../model/openDrift.js');
                const parts = [
                    part(
                        'unrecorded',
                        'Moved though nothing ran, or other than the pointers say',
                        unrecorded.filter(isAsked),
                        unrecordedColumns,
                    ),
                ];
                const lead = options.vehicle === undefined ? 3 : 4;
                await context.output.result(json ? asked : openFirst(asked), notes, columns, { parts, lead });
            });
    },
} satisfies CommandModule;

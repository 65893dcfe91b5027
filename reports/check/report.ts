import { programName } from '../../src/errors/programName.js';
import type { Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';
import { counted } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import { probabilityCell } from '../../src/units/probabilityWords.js';
import { levelsPlot } from './levelsPlot.js';
import { type Rows, type Suspect, schemas } from './rows.js';

const columns: Column<Suspect>[] = [
    { title: 'car', value: (row) => row.vehicle ?? row.chassis ?? 'all' },
    { title: 'corner', value: (row) => row.corner ?? 'all' },
    { title: 'visit', value: (row) => row.visit ?? 'all' },
    { title: 'found', value: (row) => row.finding },
    { title: 'sure', value: (row) => probabilityCell(row.p_mistake) },
    { title: 'file', value: (row) => row.source_file?.split(/[\\/]/).at(-1) ?? null },
    { title: 'line', value: (row) => row.source_line },
];

/** Findings by check, in order of the surest. */
function byCheck({ findings }: Rows): { first: Suspect; rows: Suspect[] }[] {
    return [...new Set(findings.map((row) => row.check_name))].map((name) => {
        const rows = findings.filter((row) => row.check_name === name);
        return { first: rows[0]!, rows };
    });
}

function captionOf({ title, check_name, check_count }: Suspect, shown: number): string {
    if (shown === check_count) return `${title}: ${counted(shown, 'finding')}`;
    return `${title}: ${shown} of ${counted(check_count, 'finding')}; ${programName()} check --only ${check_name} --all gives all`;
}

const mendWords = ({ mend }: Suspect) => `${capital(mend)}.`;

const placeWords = ({ vehicle, chassis, corner, visit }: Suspect) =>
    [vehicle ?? chassis ?? 'all cars', corner, visit].filter((part) => part !== null).join(', ');

export default defineReport({
    title: 'Check',
    question: 'Which rows look wrong, how sure is that, and what is to be done?',
    group: 'shop',
    rows: schemas,
    headline: (rows) => {
        const [first] = rows.findings;
        if (first === undefined)
            return rows.failed.length === 0
                ? 'Nothing looks wrong in what was loaded'
                : 'Nothing was found, but not every check could be made';
        if (first.mistake_count === 0)
            return `No likely mistake; ${counted(first.open_count, 'remark')} to look at`;
        return `${counted(first.mistake_count, 'likely mistake')} in ${counted(first.reading_count, 'reading')}; the surest: ${first.title.replace(/^./, (letter) => letter.toLowerCase())}`;
    },
    picture: (rows) => (rows.levels.length === 0 ? [] : [levelsPlot(rows)]),
    answer: (rows) => {
        const [first] = rows.findings;
        if (first === undefined) return [];
        const remarks = first.open_count - first.mistake_count;
        return [
            `${placeWords(first)}: ${first.finding}.`,
            `To mend it: ${mendWords(first)}`,
            `${counted(first.open_count, 'finding')} in ${counted(byCheck(rows).length, 'check')}${remarks > 0 ? `, ${counted(remarks, 'of them a remark', 'of them remarks')} that readings cannot judge` : ''}.`,
        ];
    },
    findings: (rows) => [
        ...rows.failed.map(({ check_name, failure }) => ({ about: check_name, text: failure })),
        ...byCheck(rows).map(({ first }) => ({
            about: first.title,
            text: `${counted(first.check_count, 'finding')}. Likely: ${first.likely}. To mend: ${mendWords(first)}`,
        })),
        ...(rows.findings.length > 0
            ? []
            : [{ text: 'No check found a row that is at least as likely a mistake as chance.' }]),
    ],
    sections: (rows) =>
        byCheck(rows).map(({ first, rows: own }) => ({
            title: first.title,
            blocks: [table(captionOf(first, own.length), own, columns)],
        })),
    method: [
        {
            term: 'Sure',
            text: 'Posterior probability that the row is a mistake, from its prior odds (in the header of each check) and how much better the mistake explains the readings than chance; a dash where the readings cannot tell. Findings under 0.5 and those that another finding explains are left out; the command check --all lists them.',
        },
        {
            term: 'Expected',
            text: 'Where a finding is about one change or one angle, what its check compares with: the move, the state before, the target. Else camber, caster or SAI of the corner at the original bearing place: the mean over the states of a visit, brought there by the slopes of the chassis, against the median of its other visits; the angle that lies furthest off is drawn. The limit is 1.96 standard deviations of that difference: reading, slopes and what visits differ by. A corner is drawn once.',
        },
    ],
});

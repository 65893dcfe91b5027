import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, listed } from '../../src/report/format.js';
import { basedAngles, basisWords } from '../../src/units/basisWords.js';
import { capital } from '../../src/units/capital.js';
import { cornerName } from '../../src/units/cornerName.js';
import { probabilityWords } from '../../src/units/probabilityWords.js';
import { marksWords } from '../../src/units/settingWords.js';
import { bestWay, type Rows, subjectWords, type Way } from './rows.js';

function plates(rows: readonly Way[]): string {
    return listed(
        rows.map(
            (row) => `${cornerName(row.corner)} the ${row.plate_hand} plate in index ${row.plate_index}`,
        ),
    );
}

function settings(rows: readonly Way[]): string {
    return listed(rows.map((row) => `${cornerName(row.corner)} ${marksWords(row)}`));
}

/** What the page found. */
export function findings(rows: Rows): Finding[] {
    if (rows.ways.length === 0) {
        return [
            {
                text: `There is nothing to show: no chassis with a front corner at a known offset, no kit for it with ends of its scale, or no target with tolerances. ${programName()} clocking says what is missing.`,
            },
        ];
    }
    const best = bestWay(rows);
    const first = best[0]!;
    const targets = [...new Set(best.map((row) => row.target))];
    const ofTarget = (target: string) => best.filter((row) => row.target === target);
    const reached = best.every((row) => row.reachable);
    const ranks = new Set(rows.ways.map((row) => row.rank));
    const missing = new Set(rows.ways.filter((row) => !row.reachable).map((row) => row.rank));
    const borrowed = basisWords(basedAngles(first));
    return [
        {
            about: 'Best way',
            text: `${first.kit} on ${subjectWords(rows)}: ${plates(ofTarget(targets[0]!))}. ${
                reached
                    ? `It reaches ${listed(targets)}; set without reading again, all is within tolerance with a probability ${probabilityWords(first.p_all!)}.`
                    : `It comes nearest to ${listed(targets)}, but does not reach all of it.`
            }`,
        },
        ...targets.map((target) => ({ about: target, text: `Set ${settings(ofTarget(target))}.` })),
        {
            about: 'Others',
            text: `${ranks.size - missing.size} of ${counted(ranks.size, 'way')} to clock the pair reach every target.`,
        },
        ...(borrowed.length > 0
            ? [
                  {
                      about: 'Unsure',
                      text: `${borrowed.map((words) => `${capital(words)}.`).join(' ')} The areas are less sure for it.`,
                  },
              ]
            : []),
    ];
}

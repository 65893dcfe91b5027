import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, listed } from '../../src/report/format.js';
import { basedAngles, basisWords } from '../../src/units/basisWords.js';
import { capital } from '../../src/units/capital.js';
import { probabilityWords } from '../../src/units/probabilityWords.js';
import { settingWords } from '../../src/units/settingWords.js';
import { carsOf, type Rows, type Setting, targetsOf } from './rows.js';

function targetSentence(rows: readonly Setting[]): string {
    const missed = rows.filter((row) => !row.reachable).map((row) => row.corner);
    const reach =
        missed.length === 0
            ? ''
            : ` The target is out of reach at ${missed.join(' and ')}; this is the nearest.`;
    const p = rows[0]!.p_both;
    const chance = p === null ? '' : ` All within tolerance with a probability ${probabilityWords(p)}.`;
    return `${rows[0]!.target}: ${rows.map(settingWords).join('; ')}.${chance}${reach}`;
}

function carFinding(rows: readonly Setting[]): Finding {
    const sentences = targetsOf(rows).map((target) =>
        targetSentence(rows.filter((row) => row.target === target)),
    );
    const borrowed = basisWords(rows.flatMap(basedAngles)).map(
        (words) => `${capital(words)}; the intervals are wide for it.`,
    );
    return { about: rows[0]!.vehicle, text: [...sentences, ...borrowed].join(' ') };
}

/** Cars that get a sentence of their own. */
const spokenCount = 12;

/** Of the cars without a sentence of their own: who they are, and which cannot reach a target. */
function others(rows: Rows, cars: readonly string[]): Finding[] {
    if (cars.length === 0) return [];
    const missing = cars.flatMap((vehicle) => {
        const missed = rows.settings.filter((row) => row.vehicle === vehicle && !row.reachable);
        return missed.length === 0 ? [] : [`${vehicle} (${listed(targetsOf(missed))})`];
    });
    const reach =
        missing.length === 0
            ? 'All of them reach their targets.'
            : `Out of reach at a corner: ${listed(missing)}.`;
    return [{ about: 'Others', text: `${counted(cars.length, 'more car')} on their cards. ${reach}` }];
}

/** What each card tells, newest readings first. */
export function findings(rows: Rows): Finding[] {
    const cars = carsOf(rows);
    if (cars.length === 0) {
        return [
            {
                text: `There is no card to make: no car whose front corners all sit on plates with a known place and angles read there, or no target with tolerances for its chassis. ${programName()} advise says of one car what is missing.`,
            },
        ];
    }
    const { car_count: all } = rows.settings[0]!;
    const left =
        all > cars.length
            ? ` of ${all}; the others were read longer ago, and --vehicle names one of them`
            : '';
    return [
        { about: 'Cards', text: `${counted(cars.length, 'car')}${left}.` },
        ...cars
            .slice(0, spokenCount)
            .map((vehicle) => carFinding(rows.settings.filter((row) => row.vehicle === vehicle))),
        ...others(rows, cars.slice(spokenCount)),
    ];
}

import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, listed } from '../../src/report/format.js';
import { marksText } from '../../src/report/plan.js';
import { basedAngles, basisWords } from '../../src/units/basisWords.js';
import { capital } from '../../src/units/capital.js';
import { cornerName } from '../../src/units/cornerName.js';
import { costliestLimit } from '../../src/units/limitWords.js';
import { probabilityWords } from '../../src/units/probabilityWords.js';
import { settingWords } from '../../src/units/settingWords.js';
import { typeset } from '../../src/units/typeset.js';
import { shortened } from '../../src/units/visibleText.js';
import { carsOf, type Rows, type Setting, targetsOf } from './rows.js';

/** What to set for one target, how likely all is then in tolerance, and which limit costs that. */
export function targetSentence(rows: readonly Setting[]): string {
    const missed = rows.filter((row) => !row.reachable).map((row) => cornerName(row.corner));
    const p = rows[0]!.p_both;
    const parts = [
        `${rows[0]!.target}: ${typeset(rows.map(settingWords).join('; '))}.`,
        p === null ? '' : `All within tolerance with a probability ${probabilityWords(p)}.`,
        typeset(costliestLimit(rows, p)),
        missed.length === 0 ? '' : `Out of reach ${listed(missed)}; this is the nearest.`,
    ];
    return parts.filter((part) => part !== '').join(' ');
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

const noCard = () =>
    `There is no card to make: no car whose front corners all sit on plates with a known place and angles read there, or no target with tolerances for its chassis. ${programName()} advise says of one car what is missing.`;

/** What the car that was read last is set to for its first target. */
export function headline(rows: Rows): string {
    const [vehicle] = carsOf(rows);
    if (vehicle === undefined) return 'There is no card to make yet.';
    const own = rows.settings.filter((row) => row.vehicle === vehicle);
    const [target] = targetsOf(own);
    const marks = own
        .filter((row) => row.target === target)
        .map(
            (row) =>
                `${cornerName(row.corner).replace('front ', '')} to ${marksText(row.mark_1, row.mark_2)}`,
        );
    return `${shortened(vehicle, 40)}, for ${shortened(target!, 40)}: pointers ${listed(marks)}`;
}

/** What is set for the targets of that car, and what else is on the page. */
export function answer(rows: Rows): string[] {
    const [vehicle] = carsOf(rows);
    if (vehicle === undefined) return [noCard()];
    const own = rows.settings.filter((row) => row.vehicle === vehicle);
    return [
        ...targetsOf(own).map((target) =>
            capital(targetSentence(own.filter((row) => row.target === target))),
        ),
        `${cardCount(rows)} Printing gives the cards alone, a sheet of A5 each.`,
    ];
}

function cardCount(rows: Rows): string {
    const cars = carsOf(rows);
    const { car_count: all } = rows.settings[0]!;
    const left =
        all > cars.length
            ? ` of ${all}, those read last; ${programName()} report card --vehicle NAME makes any other`
            : '';
    return `Cards of ${counted(cars.length, 'car')}${left}.`;
}

/** What each card tells, newest readings first. */
export function findings(rows: Rows): Finding[] {
    const cars = carsOf(rows);
    if (cars.length === 0) return [{ text: noCard() }];
    return [
        ...cars
            .slice(0, spokenCount)
            .map((vehicle) => carFinding(rows.settings.filter((row) => row.vehicle === vehicle))),
        ...others(rows, cars.slice(spokenCount)),
    ];
}

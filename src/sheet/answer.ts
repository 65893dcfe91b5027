import { type AdvisedSetting, advisedSettings } from '../stats/settings/advisedSettings.js';
import type { Normal } from '../stats/settings/problem.js';
import { type Book, fronts, type State } from './book.js';
import { cornerOf, type NoAnswer } from './present.js';

export interface Question {
    car: { vehicle: string; chassis: string };
    target: string;
    /** Kit to fit instead of the present one; null = none. */
    kit: string | null;
    anyIndex: boolean;
}

export interface Answer {
    /** One row per front corner that can be asked about, those of `advise`. */
    rows: AdvisedSetting[];
    missing: Partial<Record<'FL' | 'FR', NoAnswer>>;
}

/** Where to put the bearings of a car that stands as `states` say, newest first: `advise --target` in steps of half a mark. */
export function answerOf(normal: Normal, book: Book, states: readonly State[], question: Question): Answer {
    const asked = fronts.map(
        (corner) => [corner, cornerOf(book, question.car, states, corner, question)] as const,
    );
    const missing = Object.fromEntries(asked.filter(([, found]) => typeof found === 'string'));
    const found = asked.flatMap(([, corner]) => (typeof corner === 'string' ? [] : [corner]));
    const search = { step: 0.5, any_clocking: question.anyIndex, index: null, hand: null };
    const units = { diameter_mm: null, arm_mm: null, turn_mm: null };
    return { rows: advisedSettings(normal, found, search, units), missing };
}

import { fixed } from '../../report/format.js';
import type { AdvisedSetting } from '../../stats/settings/advisedSettings.js';
import { probabilityCell } from '../../units/probabilityWords.js';
import { marksWords, settingWords } from '../../units/settingWords.js';
import type { NoAnswer } from '../present.js';
import type { TypedColumn } from '../record.js';

export const columnWords: Record<TypedColumn, string> = {
    camber_deg: 'camber',
    caster_deg: 'caster',
    toe_deg: 'toe',
    sai_deg: 'SAI',
    plate_index: 'index',
    mark_1: 'mark',
    mark_2: '2nd mark',
};

export const missingWords: Record<NoAnswer, string> = {
    not_read: 'not read yet',
    no_angles: 'type camber or caster',
    no_place: 'type the mark',
    no_index: 'type the index',
    no_kit: 'original mount: choose a kit to fit under Visit',
    no_plate: 'the kit has no ends of scale in the book',
    no_goal: 'the target cannot be judged here',
};

const number = (value: unknown) => fixed(typeof value === 'number' ? value : null, 2);

const withRange = (row: AdvisedSetting, name: string) => {
    const column = (part: string) => row[`${name}${part}_deg`];
    if (typeof column('') !== 'number') return '–';
    return `${number(column(''))} (${number(column('_low'))} to ${number(column('_high'))})`;
};

/** How far an angle is from the target, less what its reader adds. */
function toTarget(row: AdvisedSetting, angle: 'camber' | 'caster'): string {
    const [target, read, bias] = [
        row[`target_${angle}_deg`],
        row[`present_${angle}_deg`],
        row[`${angle}_bias_deg`],
    ];
    if (typeof target !== 'number' || typeof read !== 'number') return '–';
    const now = read - ((bias as number | null) ?? 0);
    return `${number(now)}, ${number(target - now)} to go`;
}

const stops = {
    scale_end: 'the scale ends there',
    between_marks: 'the tolerance lies between two marks',
    slot_direction: 'the slot runs another way',
} as const;

/** The lines of an answer: what they are, and of each side. `strong`: what to do. */
export const answerLines: readonly { head: string; of: (row: AdvisedSetting) => string; strong?: true }[] = [
    { head: 'camber', of: (row) => toTarget(row, 'camber') },
    { head: 'caster', of: (row) => toTarget(row, 'caster') },
    {
        head: 'set',
        of: (row) =>
            settingWords(row)
                .slice(settingWords(row).indexOf(':') + 2)
                .replaceAll('-', '−'),
        strong: true,
    },
    { head: '→ camber', of: (row) => withRange(row, 'camber') },
    { head: '→ caster', of: (row) => withRange(row, 'caster') },
    { head: 'toe by', of: (row) => withRange(row, 'toe_change') },
    { head: 'put back', of: (row) => withRange(row, 'toe_put_back') },
    {
        head: 'in tol.',
        of: (row) =>
            row.reachable
                ? probabilityCell(row.p_in_tolerance)
                : `out of reach: ${stops[row.stop as keyof typeof stops]}, nearest is ${marksWords(row).replaceAll('-', '−')}`,
    },
];

/** Whether a line says nothing for any side. */
export const isBlank = (texts: readonly string[]): boolean =>
    texts.every((text) => text === '–' || text === '');

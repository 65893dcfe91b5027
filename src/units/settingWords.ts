import { cornerName } from './cornerName.js';
import { directionWords } from './directionWords.js';
import { plain } from './plain.js';

/** A setting of one corner as `advise` gives it, with the marks on which the pointers stand now. */
export interface Setting {
    corner: string;
    plate_hand: string;
    plate_index: number | null;
    mark_1: number | null;
    mark_2: number | null;
    present_mark_1: number | null;
    move_out_mm: number;
    move_aft_mm: number;
    stay: boolean;
    same_clocking: boolean;
}

/** `mark -4`, or `marks -4 and 2` on a plate with two scales. */
export function marksWords({ mark_1, mark_2 }: Pick<Setting, 'mark_1' | 'mark_2'>): string {
    if (mark_1 === null) return 'its measured offset';
    return mark_2 === null ? `mark ${plain(mark_1, 2)}` : `marks ${plain(mark_1, 2)} and ${plain(mark_2, 2)}`;
}

function distanceWords(setting: Setting): string {
    const { mark_1, mark_2, present_mark_1, move_out_mm, move_aft_mm, same_clocking } = setting;
    const direction = directionWords(move_out_mm, move_aft_mm);
    if (!same_clocking || mark_2 !== null || mark_1 === null || present_mark_1 === null) {
        return `${plain(Math.hypot(move_out_mm, move_aft_mm), 1)} mm ${direction}`;
    }
    const marks = plain(Math.abs(mark_1 - present_mark_1), 2);
    return `${marks} ${marks === '1' ? 'mark' : 'marks'} ${direction}`;
}

/** What to do on one corner: `front left: 2.5 marks inboard, to mark -4`. */
export function settingWords(setting: Setting): string {
    const corner = cornerName(setting.corner);
    if (setting.stay) return `${corner}: stay at ${marksWords(setting)}`;
    const plate = setting.same_clocking
        ? ''
        : `${setting.plate_hand} plate in index ${setting.plate_index}, `;
    return `${corner}: ${plate}${distanceWords(setting)}, to ${marksWords(setting)}`;
}

import type { ShareRow } from '../contracts/results/share.js';
import { listed } from '../errors/words.js';

/** What a user must know who is about to give a shared file away, as sentences. */
export function shareNotes({ file, chassis }: ShareRow, keyFile: string, isNew: boolean): string[] {
    return [
        ...(isNew
            ? [
                  `Made the key ${keyFile}. Keep it here and back it up: with it pseudonyms lead back to names, and without it the same cars get others.`,
              ]
            : []),
        `${file} holds in clear: chassis codes (${listed(chassis)}), the angles and tolerances of the targets, and how long a mark of the kits is. The field is pooled by chassis, so give a platform a code that others may see, and use the same.`,
        'Under the pseudonym of its car, without name, date or note: what each move of the bearing did to the angles, and the newest angles and offset of each front corner. Without a car: how far repeated readings lie apart, caster values, and the noise of gauges.',
        'Who knows a car and its numbers from elsewhere can find it in there: give the file only to those who may know as much.',
    ];
}

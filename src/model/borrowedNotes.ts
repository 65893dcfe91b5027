import { z } from 'zod';
import { basis } from '../contracts/results/result.js';
import type { Database } from '../db/database.js';
import { basisWords } from '../units/basisWords.js';
import { capital } from '../units/capital.js';

const based = z.object({ chassis: z.string(), angle: z.string(), basis });

/** Of which chassis with needed offsets the degrees per mm are not their own, and why: a sentence per reason. */
export async function borrowedNotes(
    db: Database,
    { chassis, target }: { chassis?: string | undefined; target?: string | undefined } = {},
): Promise<string[]> {
    const rows = await db.rows(
        based,
        `select distinct needed_offsets.chassis, replace(response, '_deg', '') as angle, basis
        from needed_offsets inner join sensitivities using (chassis)
        where basis <> 'own' and response in ('camber_deg', 'caster_deg')
            and ($chassis::varchar is null or chassis = $chassis) and ($target::varchar is null or target = $target)
        order by 1, 2`,
        { chassis: chassis ?? null, target: target ?? null },
    );
    return basisWords(rows).map((words) => `${capital(words)}.`);
}

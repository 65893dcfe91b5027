import { z } from 'zod';
import type { Database } from '../db/database.js';
import { classNotForChassis } from '../errors/askMessages.js';
import { UserError } from '../errors/errors.js';
import { listed } from '../errors/words.js';
import { normal } from '../stats/settingFunctions.js';
import { HALF_WIDTH } from '../stats/settings/problem.js';
import { cornerName } from '../units/cornerName.js';
import { plain } from '../units/plain.js';
import { probabilityWords } from '../units/probabilityWords.js';
import { signed } from '../units/signed.js';
import type { AdvisedRow } from './advisedRow.js';
import type { Ask } from './ask.js';
import { requireName } from './names.js';

export const ruleRow = z.object({
    chassis: z.string().nullable(),
    angle: z.enum(['camber', 'caster']),
    low_deg: z.number().nullable(),
    high_deg: z.number().nullable(),
    measured: z.string().nullable(),
    var_deg2: z.number(),
});

type Angle = 'camber' | 'caster';
type Rule = z.infer<typeof ruleRow>;

/** The limits of a class for one chassis. */
export interface ClassRules {
    name: string;
    byAngle: Partial<Record<Angle, Rule>>;
}

/**
 * The rules of class `name` for `chassis`, its own before those for any; `var_deg2`: variance of one reading by the inspector's
 * gauge. Throws a {@link UserError} where the class is not known or has no rule for it.
 */
export async function classRules(db: Database, name: string, chassis: string | null): Promise<ClassRules> {
    await requireName(db, 'rules', 'class', name);
    const rows = await db.rows(
        ruleRow,
        `select chassis, angle, low_deg, high_deg, measured,
            coalesce(power(gauge_uncertainty_deg, 2), one_var_deg2 + set_up_var_deg2 + bias_var_deg2) as var_deg2
        from rules
        inner join reader_noise on reader_noise.reader = 0 and reader_noise.response = rules.angle || '_deg'
        where class = $name order by chassis nulls last`,
        { name },
    );
    const fitting = rows.filter((row) => row.chassis === null || row.chassis === chassis);
    if (fitting.length === 0) {
        const known = [...new Set(rows.map((row) => row.chassis!))];
        throw new UserError(classNotForChassis(name, chassis, known), 'unknown_name');
    }
    const of = (angle: Angle) => fitting.find((row) => row.angle === angle);
    return { name, byAngle: { camber: of('camber'), caster: of('caster') } as ClassRules['byAngle'] };
}

/** `ask` with the limit of the class in the direction of `--most`. */
export function ruledAsk(ask: Ask, rules: ClassRules | null): Ask {
    const rule = ask.kind === 'most' ? rules?.byAngle[ask.angle] : undefined;
    if (ask.kind !== 'most' || rule === undefined) return ask;
    const limit_deg = ask.sign < 0 ? rule.low_deg : rule.high_deg;
    return { ...ask, limit_deg, limit_var_deg2: limit_deg === null ? 0 : rule.var_deg2 };
}

/**
 * P that a reading by the inspector's gauge lies beyond the limits: expected angle and reading taken as normal and independent. Null
 * without a limit, or where the angle is not known.
 */
export function overLimit(row: AdvisedRow, rules: ClassRules | null, angle: Angle): number | null {
    const rule = rules?.byAngle[angle];
    const [deg, low, high] = [row[`${angle}_deg`], row[`${angle}_low_deg`], row[`${angle}_high_deg`]];
    if (rule === undefined || deg === null || low === null || high === null) return null;
    const sd = (high - low) / (2 * HALF_WIDTH);
    const u = Math.sqrt(sd * sd + rule.var_deg2);
    const below = rule.low_deg === null ? 0 : normal.cdf((rule.low_deg - deg) / u);
    const above = rule.high_deg === null ? 0 : normal.cdf((deg - rule.high_deg) / u);
    return below + above;
}

export function limitWords({ low_deg, high_deg }: Pick<Rule, 'low_deg' | 'high_deg'>, angle: Angle): string {
    const level = (deg: number) => (angle === 'camber' ? signed(deg, 2) : plain(deg, 2));
    if (low_deg === null) return `no more than ${level(high_deg!)} deg`;
    return high_deg === null
        ? `no ${angle === 'camber' ? 'more negative' : 'less'} than ${level(low_deg)} deg`
        : `${level(low_deg)} to ${level(high_deg)} deg`;
}

/** One sentence: what the class allows, and how likely the inspector's gauge reads over it on each side. */
export function classNotes(rows: readonly AdvisedRow[], rules: ClassRules | null): string[] {
    if (rules === null || rows.length === 0) return [];
    const targets = [...new Set(rows.map(({ target }) => target))];
    const parts = (['camber', 'caster'] as const).flatMap((angle) => {
        const rule = rules.byAngle[angle];
        if (rule === undefined) return [];
        const sides = rows.map((row) => {
            const p = overLimit(row, rules, angle);
            const where = `${cornerName(row.corner)}${targets.length > 1 ? ` at ${row.target}` : ''}`;
            return p === null ? `${where} not known` : `${where} with a probability ${probabilityWords(p)}`;
        });
        const how = rule.measured === null ? '' : ` (${rule.measured})`;
        const u = plain(Math.sqrt(rule.var_deg2), 2);
        return [
            `${angle} ${limitWords(rule, angle)}${how}; an inspector's gauge, good to ${u} deg, reads over it ${listed(sides)}`,
        ];
    });
    return [`Class ${rules.name} allows ${parts.join('. It allows ')}.`];
}

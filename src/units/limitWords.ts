import { cornerName } from './cornerName.js';
import { plain } from './plain.js';
import { probabilityCell } from './probabilityWords.js';

type Angle = 'camber' | 'caster';
type PerAngle<Before extends string, After extends string> = Record<
    `${Before}${Angle}${After}`,
    number | null
>;

/** A setting of one corner with its target, and how likely each limit is met by itself. */
export type LimitedSetting = { corner: string; target: string } & PerAngle<'', '_deg'> &
    PerAngle<'target_', '_deg'> &
    PerAngle<'', '_tol_deg'> &
    PerAngle<'p_', '_in_tolerance'> &
    Partial<PerAngle<'p_cross_', ''> & PerAngle<'cross_', '_deg'> & PerAngle<'cross_', '_max_deg'>>;

interface Limit {
    p: number;
    /** Limits of one kind are told together where they are about as likely. */
    kind: string;
    one: string;
    all: string;
}

function limitsOf(row: LimitedSetting, isFirst: boolean, where: string): Limit[] {
    return (['camber', 'caster'] as const).flatMap((angle) => {
        const limits: Limit[] = [];
        const [p, pCross] = [row[`p_${angle}_in_tolerance`], row[`p_cross_${angle}`] ?? null];
        if (p !== null) {
            const tolerance = `+-${plain(row[`${angle}_tol_deg`]!, 2)} deg`;
            limits.push({
                p,
                kind: `${angle} ${tolerance}`,
                one: `${angle} of ${cornerName(row.corner)}${where}, expected at ${row[`${angle}_deg`]!.toFixed(2)} for ${plain(row[`target_${angle}_deg`]!, 2)} ${tolerance}`,
                all: `${angle} within ${tolerance}`,
            });
        }
        if (pCross !== null && isFirst) {
            const limit = plain(row[`cross_${angle}_max_deg`]!, 2);
            const one = `left minus right ${angle}${where}, expected at ${row[`cross_${angle}_deg`]!.toFixed(2)} for at most ${limit} deg`;
            limits.push({ p: pCross, kind: `cross ${angle}`, one, all: `left minus right ${angle}` });
        }
        return limits;
    });
}

/** From this chance for all on, nothing is said of what costs the rest. */
const GOOD = 0.8;
/** Limits whose chances differ by no more are about as likely. */
const ALIKE = 0.05;

/**
 * Which limit costs a low chance `p` of meeting all limits of `rows`: the one that is least likely met by itself, with that probability;
 * empty where the chance is good. Cross limits are those of the first row of each target.
 */
export function costliestLimit(rows: readonly LimitedSetting[], p: number | null): string {
    if (p === null || p >= GOOD) return '';
    const targets = [...new Set(rows.map((row) => row.target))];
    const limits = rows.flatMap((row) =>
        limitsOf(
            row,
            row === rows.find(({ target }) => target === row.target),
            targets.length > 1 ? ` at ${row.target}` : '',
        ),
    );
    if (limits.length === 0) return '';
    const least = limits.reduce((least, limit) => (limit.p < least.p ? limit : least));
    const alike = limits.filter((limit) => limit.kind === least.kind && limit.p <= least.p + ALIKE);
    if (alike.length === 1)
        return `The limit that costs most: ${least.one} (${probabilityCell(least.p)} alone).`;
    return `The limit that costs most: ${least.all} in ${alike.length} places (${probabilityCell(least.p)} in each).`;
}

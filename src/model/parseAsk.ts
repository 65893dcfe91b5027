import { limitOrClass, oneAim, onlyWith, unreadableAngles, unreadableChange } from '../errors/askMessages.js';
import { UsageError } from '../errors/errors.js';
import type { Change } from '../stats/settings/asks.js';
import type { Ask } from './ask.js';

/** Options of `advise` that say what is wanted instead of a target, as they are written. */
export interface AskOptions {
    target: readonly string[];
    change: readonly string[];
    equal?: string | true | undefined;
    most?: string | undefined;
    backTo?: string | undefined;
    lose?: number | undefined;
    margin?: number | undefined;
    limit?: number | undefined;
    class?: string | undefined;
    within?: number | undefined;
}

const pattern = /^(?:(FL|FR)\.)?(camber|caster)=([+-]?(?:\d+\.?\d*|\.\d+))$/i;

function parseChange(text: string): Change {
    const [, corner, angle, degrees] = pattern.exec(text.replaceAll(' ', '')) ?? [];
    const deg = Number(degrees);
    if (angle === undefined || Math.abs(deg) > 6) throw new UsageError(unreadableChange(text));
    return {
        corner: (corner?.toUpperCase() as Change['corner'] | undefined) ?? null,
        angle: angle.toLowerCase() as Change['angle'],
        deg,
    };
}

/** Reads every `--change`; a UsageError when one cannot be read or an angle of a corner is named again. */
export function parseChanges(texts: readonly string[]): Change[] {
    const changes = texts.map(parseChange);
    const again = changes.findIndex((one, i) =>
        changes
            .slice(0, i)
            .some(
                (other) =>
                    other.angle === one.angle &&
                    (other.corner === null || one.corner === null || other.corner === one.corner),
            ),
    );
    if (again >= 0) throw new UsageError(unreadableChange(texts[again]!));
    return changes;
}

/** A workshop's aims (from memory): +-0.1 deg of camber, +-0.3 deg of caster. */
const usual = { camber: 0.1, caster: 0.3 } as const;

function parseAngles(text: string | true): ('camber' | 'caster')[] {
    const angles = (text === true ? 'camber' : text.toLowerCase()).split(',').map((one) => one.trim());
    const known = angles.every((one) => one === 'camber' || one === 'caster');
    if (!known || new Set(angles).size < angles.length) throw new UsageError(unreadableAngles(String(text)));
    return angles as ('camber' | 'caster')[];
}

/** What is asked instead of a target; undefined = targets. A UsageError unless exactly one thing is aimed at. */
export function parseAsk(options: AskOptions): Ask | undefined {
    const { target, change, equal, most, backTo, lose, margin, limit, within } = options;
    const aims = [
        target.length > 0,
        change.length > 0,
        equal !== undefined,
        most !== undefined,
        backTo !== undefined,
    ];
    if (aims.filter(Boolean).length !== 1) throw new UsageError(oneAim());
    for (const [name, value] of Object.entries({ lose, margin, limit })) {
        if (value !== undefined && most === undefined) throw new UsageError(onlyWith(`--${name}`, '--most'));
    }
    if (within !== undefined && (target.length > 0 || most !== undefined)) {
        throw new UsageError(onlyWith('--within', '--change, --equal and --back-to'));
    }
    const near = within === undefined ? usual : { camber: within, caster: within };
    if (change.length > 0) return { kind: 'change', changes: parseChanges(change), within: near };
    if (equal !== undefined) return { kind: 'equal', angles: parseAngles(equal), within: near };
    if (backTo !== undefined) return { kind: 'back_to', to: backTo, within: near };
    if (most === undefined) return undefined;
    if (limit !== undefined && options.class !== undefined) throw new UsageError(limitOrClass());
    const [direction, angle] = most.split('-') as ['negative' | 'positive', 'camber' | 'caster'];
    return {
        kind: 'most',
        angle,
        sign: direction === 'negative' ? -1 : 1,
        lose_deg: lose ?? null,
        margin_marks: margin ?? 0,
        limit_deg: limit ?? null,
        limit_var_deg2: 0,
    };
}

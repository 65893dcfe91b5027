import { UsageError } from '../errors/errors.js';
import { unreadableCorner } from '../errors/messages.js';

/** Angles and place of one front corner as told on the command line; offsets null = original mount. */
export interface GivenCorner {
    corner: 'FL' | 'FR';
    camber_deg: number;
    caster_deg: number;
    offset_out_mm: number | null;
    offset_aft_mm: number | null;
}

const number = String.raw`([+-]?(?:\d+\.?\d*|\.\d+))`;
const pattern = new RegExp(`^(FL|FR)=${number},${number}(?:,${number},${number})?$`, 'i');
const limits = { camber: [-12, 12], caster: [-6, 20], offset: [-40, 40] } as const;

function within(value: number, [low, high]: readonly [number, number]): boolean {
    return value >= low && value <= high;
}

/** Reads one `CORNER=CAMBER,CASTER[,OUT,AFT]`; a UsageError when it is not that or out of the contract's ranges. */
function parseGivenCorner(text: string): GivenCorner {
    const [, corner, camber, caster, out, aft] = pattern.exec(text.replaceAll(' ', '')) ?? [];
    const given = {
        corner: corner?.toUpperCase() as GivenCorner['corner'],
        camber_deg: Number(camber),
        caster_deg: Number(caster),
        offset_out_mm: out === undefined ? null : Number(out),
        offset_aft_mm: aft === undefined ? null : Number(aft),
    };
    // A camber of -0 is the first half of one with a decimal comma.
    const usable =
        camber !== '-0' &&
        within(given.camber_deg, limits.camber) &&
        within(given.caster_deg, limits.caster) &&
        within(given.offset_out_mm ?? 0, limits.offset) &&
        within(given.offset_aft_mm ?? 0, limits.offset);
    if (!usable) throw new UsageError(unreadableCorner(text));
    return given;
}

/** Reads the `--from` of a question; a UsageError when one cannot be read or names a corner again. */
export function parseGivenCorners(texts: readonly string[]): GivenCorner[] {
    const corners = texts.map(parseGivenCorner);
    const again = corners.findIndex(
        (one, i) => corners.findIndex((other) => other.corner === one.corner) < i,
    );
    if (again >= 0) throw new UsageError(unreadableCorner(texts[again]!));
    return corners;
}

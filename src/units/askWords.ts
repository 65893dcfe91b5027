import { cornerName } from './cornerName.js';
import { signed } from './signed.js';

/** A wanted change as `advise --change` takes it; `corner` null = both fronts. */
interface Change {
    corner: 'FL' | 'FR' | null;
    angle: 'camber' | 'caster';
    deg: number;
}

/** `camber -0.50 deg, front left caster +0.30 deg`. */
export function changesWords(changes: readonly Change[]): string {
    return changes
        .map(
            ({ corner, angle, deg }) =>
                `${corner === null ? '' : `${cornerName(corner)} `}${angle} ${signed(deg, 2)} deg`,
        )
        .join(', ');
}

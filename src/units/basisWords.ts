import { programName } from '../errors/programName.js';
/** Where the degrees per mm of an angle come from: see `basis` in table `sensitivities`. */
export type Basis = 'own' | 'others' | 'geometry' | 'flagged';

/** An angle of a chassis, and where its degrees per mm come from. */
interface Based {
    chassis: string;
    angle: string;
    basis: Basis;
}

const sentences = {
    others: (chassis: string, angles: string) =>
        `no move of ${chassis} tells what a millimetre does to ${angles}, so the other chassis and geometry have to`,
    geometry: (chassis: string, angles: string) =>
        `no move of ${chassis} or any other chassis tells what a millimetre does to ${angles}, so geometry alone has to`,
    flagged: (chassis: string, angles: string) =>
        `the slopes of ${chassis} are implausible (${programName()} slopes says why), so for ${angles} those of any other chassis and geometry are used`,
} as const;

/** Why the degrees per mm of these angles are not those of own moves: a sentence without a full stop per reason, none where all are own. */
export function basisWords(rows: readonly Based[]): string[] {
    const chassisBy = new Map<string, { basis: keyof typeof sentences; angles: string; chassis: string[] }>();
    for (const chassis of new Set(rows.map((row) => row.chassis))) {
        for (const basis of ['others', 'geometry', 'flagged'] as const) {
            const same = rows.filter((row) => row.chassis === chassis && row.basis === basis);
            if (same.length === 0) continue;
            const angles = [...new Set(same.map((row) => row.angle))].join(' and ');
            const key = `${basis} ${angles}`;
            const group = chassisBy.get(key) ?? { basis, angles, chassis: [] };
            group.chassis.push(chassis);
            chassisBy.set(key, group);
        }
    }
    return [...chassisBy.values()].map(({ basis, angles, chassis }) =>
        sentences[basis](chassis.join(', '), angles),
    );
}

/** The camber and caster of `row` for {@link basisWords}. */
export function basedAngles(row: {
    chassis: string | null;
    camber_basis: Basis;
    caster_basis: Basis;
}): Based[] {
    const chassis = row.chassis ?? 'this chassis';
    return [
        { chassis, angle: 'camber', basis: row.camber_basis },
        { chassis, angle: 'caster', basis: row.caster_basis },
    ];
}

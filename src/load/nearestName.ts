import { distance } from 'fastest-levenshtein';

/** The one of `known` that `name` most likely means: the same with its unit at the end, or a few letters off; else null. */
export function nearestName(name: string, known: readonly string[]): string | null {
    const plain = name.toLowerCase().replace(/[\s.-]+/g, '_');
    const withUnit = known.find(
        (candidate) => candidate.startsWith(`${plain}_`) || plain.startsWith(`${candidate}_`),
    );
    if (known.includes(plain)) return plain;
    if (withUnit !== undefined) return withUnit;
    const ranked = known
        .map((candidate) => ({ candidate, distance: distance(plain.slice(0, 100), candidate) }))
        .sort((a, b) => a.distance - b.distance);
    const best = ranked[0];
    return best !== undefined && best.distance <= Math.max(1, best.candidate.length / 3)
        ? best.candidate
        : null;
}

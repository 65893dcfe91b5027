import { closest, distance } from 'fastest-levenshtein';

/** The one of `known` that `name` most likely means: the same with its unit at the end, or a few letters off; else null. */
export function nearestName(name: string, known: readonly string[]): string | null {
    const plain = name.toLowerCase().replace(/[\s.-]+/g, '_');
    const withUnit = known.find(
        (candidate) => candidate.startsWith(`${plain}_`) || plain.startsWith(`${candidate}_`),
    );
    if (known.includes(plain)) return plain;
    if (withUnit !== undefined) return withUnit;
    if (known.length === 0) return null;
    const start = plain.slice(0, 100);
    const best = closest(start, known);
    return distance(start, best) <= Math.max(1, best.length / 3) ? best : null;
}

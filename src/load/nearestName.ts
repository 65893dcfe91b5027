/** Fewest insertions, deletions and substitutions of one character that turn `a` into `b` (Levenshtein, 1966). */
function editDistance(a: string, b: string): number {
    let row = Array.from({ length: b.length + 1 }, (_, j) => j);
    for (let i = 1; i <= a.length; i++) {
        const next = [i];
        for (let j = 1; j <= b.length; j++) {
            const substituted = row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
            next.push(Math.min(substituted, row[j]! + 1, next[j - 1]! + 1));
        }
        row = next;
    }
    return row[b.length]!;
}

/** The one of `known` that `name` most likely means: the same with its unit at the end, or a few letters off; else null. */
export function nearestName(name: string, known: readonly string[]): string | null {
    const plain = name.toLowerCase().replace(/[\s.-]+/g, '_');
    const withUnit = known.find(
        (candidate) => candidate.startsWith(`${plain}_`) || plain.startsWith(`${candidate}_`),
    );
    if (known.includes(plain)) return plain;
    if (withUnit !== undefined) return withUnit;
    const ranked = known
        .map((candidate) => ({ candidate, distance: editDistance(plain.slice(0, 100), candidate) }))
        .sort((a, b) => a.distance - b.distance);
    const best = ranked[0];
    return best !== undefined && best.distance <= Math.max(1, best.candidate.length / 3)
        ? best.candidate
        : null;
}

/** Positive nodes and their weights of the 20-point Gauss-Legendre rule on -1..1 (Abramowitz and Stegun, table 25.4). */
const half: readonly (readonly [number, number])[] = [
    [0.0765265211334973, 0.1527533871307258],
    [0.2277858511416451, 0.1491729864726037],
    [0.37370608871541955, 0.142096109318382],
    [0.5108670019508271, 0.1316886384491766],
    [0.636053680726515, 0.1181945319615184],
    [0.7463319064601508, 0.1019301198172404],
    [0.8391169718222188, 0.08327674157670475],
    [0.912234428251326, 0.06267204833410907],
    [0.9639719272779138, 0.04060142980038694],
    [0.9931285991850949, 0.01761400713915212],
];

/** A quadrature rule: pairs of node and weight. */
type Rule = readonly (readonly [number, number])[];

/** The 20-point Gauss-Legendre rule on -1..1. */
export const gaussLegendre20: Rule = half.flatMap(([x, w]) => [[-x, w] as const, [x, w] as const]);

/** The 20-point rule on each of `pieces` equal pieces of `from`..`to`. */
export function gaussLegendreRule(from: number, to: number, pieces: number): Rule {
    const scale = (to - from) / pieces / 2;
    return Array.from({ length: pieces }, (_, piece) =>
        gaussLegendre20.map(([x, w]) => [from + scale * (2 * piece + 1 + x), scale * w] as const),
    ).flat();
}

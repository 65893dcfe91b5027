/**
 * Number of the connected set of each of the nodes 1..`count`: the lowest node of its set; a node without edges is a set by
 * itself. Edges join `first[k]` and `second[k]`. Union-find with path halving (Tarjan and van Leeuwen 1984, JACM 31, 245-281).
 */
export function connected(count: number, first: ArrayLike<number>, second: ArrayLike<number>): number[] {
    const above = Array.from({ length: count + 1 }, (_, node) => node);
    const top = (node: number) => {
        let at = node;
        while (above[at] !== at) {
            above[at] = above[above[at]!]!;
            at = above[at]!;
        }
        return at;
    };
    for (let k = 0; k < first.length; k++) {
        const [a, b] = [top(first[k]!), top(second[k]!)];
        above[Math.max(a, b)] = Math.min(a, b);
    }
    return above.slice(1).map(top);
}

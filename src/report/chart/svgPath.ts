type Point = readonly [number, number];

/** A run of straight lines. */
export interface Stroke {
    points: readonly Point[];
    closed: boolean;
}

const token = /[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/g;

/** The straight lines of path data with the commands M, L, H, V, h, v and Z; null where there is another. */
export function strokesOf(d: string): Stroke[] | null {
    const tokens = d.match(token) ?? [];
    const strokes: { points: Point[]; closed: boolean }[] = [];
    let command = '';
    for (let at = 0; at < tokens.length; ) {
        if (/[A-Za-z]/.test(tokens[at]!)) command = tokens[at++]!;
        const points = strokes.at(-1)?.points ?? [];
        const [x, y] = points.at(-1) ?? [0, 0];
        const next = () => Number(tokens[at++]);
        if (command === 'M') strokes.push({ points: [[next(), next()]], closed: false });
        else if (command === 'L') points.push([next(), next()]);
        else if (command === 'H') points.push([next(), y]);
        else if (command === 'V') points.push([x, next()]);
        else if (command === 'h') points.push([x + next(), y]);
        else if (command === 'v') points.push([x, y + next()]);
        else if (command === 'Z') strokes.at(-1)!.closed = true;
        else return null;
    }
    return strokes;
}

/** A number of tenths as short as it can be written. */
const tenths = (value: number) => String(value / 10).replace(/^(-?)0\./, '$1.');

/** Whether the way from `a` over `b` to `c` is straight. */
function straight(a: Point, b: Point, c: Point): boolean {
    const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]];
    return ux * vy === uy * vx && ux * vx + uy * vy >= 0;
}

/** `stroke`, shifted, as path data at tenths of a pixel; points that change nothing are left out. */
export function strokeData({ points, closed }: Stroke, [left, top]: Point): string {
    const kept: Point[] = [];
    for (const [x, y] of points) {
        const point: Point = [Math.round((x + left) * 10), Math.round((y + top) * 10)];
        while (kept.length > 1 && straight(kept.at(-2)!, kept.at(-1)!, point)) kept.pop();
        kept.push(point);
    }
    let [x, y] = kept[0]!;
    let data = `M${tenths(x)},${tenths(y)}`;
    let command = 'M';
    for (const [nextX, nextY] of kept.slice(1)) {
        const [dx, dy] = [nextX - x, nextY - y];
        [x, y] = [nextX, nextY];
        const [wanted, numbers] =
            dy === 0 ? ['h', [dx]] : dx === 0 ? ['v', [dy]] : (['l', [dx, dy]] as [string, number[]]);
        for (const [place, number] of numbers.entries()) {
            const text = tenths(number);
            const between = place === 0 && wanted !== command ? wanted : text.startsWith('-') ? '' : ' ';
            data += between + text;
        }
        command = wanted;
    }
    return closed ? `${data}Z` : data;
}

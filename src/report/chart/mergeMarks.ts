import { type Stroke, strokeData, strokesOf } from './svgPath.js';
import { elements, type SvgNode } from './svgTree.js';

type Attributes = ReadonlyMap<string, string>;

const shift = /^translate\((-?[\d.e-]+),(-?[\d.e-]+)\)$/;
const round = /^M([\d.e-]+),0A\1,\1,0,1,1,-\1,0A\1,\1,0,1,1,\1,0$/;

/** Where the element is put, null where it is turned or scaled. */
export function shiftOf({ attributes }: SvgNode): [number, number] | null {
    const transform = attributes.get('transform');
    if (transform === undefined) return [0, 0];
    const found = shift.exec(transform);
    return found === null ? null : [Number(found[1]), Number(found[2])];
}

function without(attributes: Attributes, ...names: string[]): Map<string, string> {
    return new Map([...attributes].filter(([name]) => !names.includes(name)));
}

/** A disc as a line without length and with round ends, null for a ring or where edge and inside differ. */
function dot(attributes: Attributes, r: number): Map<string, string> | null {
    const { fill, stroke, 'stroke-width': width } = Object.fromEntries(attributes);
    if (fill === undefined || (stroke !== undefined && stroke !== fill)) return null;
    const diameter = 2 * r + (stroke === undefined ? 0 : Number(width ?? 1));
    const rest = without(attributes, 'fill', 'stroke', 'stroke-width');
    if ([...rest.keys()].some((name) => /^(fill|stroke)-/.test(name))) return null;
    return new Map([
        ...rest,
        ['stroke', fill],
        ['stroke-width', String(diameter)],
        ['stroke-linecap', 'round'],
    ]);
}

interface Drawn {
    attributes: Map<string, string>;
    d: string;
}

/** One straight-edged mark or disc as attributes and path data, null for all else. */
function drawn(mark: SvgNode): Drawn | null {
    const at = shiftOf(mark);
    if (at === null) return null;
    const { tag, attributes } = mark;
    if (tag === 'line') {
        const end = (name: string) => Number(attributes.get(name) ?? 0);
        const stroke: Stroke = {
            points: [
                [0, 0],
                [end('x2'), end('y2')],
            ],
            closed: false,
        };
        return { attributes: without(attributes, 'transform', 'x2', 'y2'), d: strokeData(stroke, at) };
    }
    const data = tag === 'path' ? (attributes.get('d') ?? '') : '';
    const disc = round.exec(data);
    if (disc !== null) {
        const looks = dot(without(attributes, 'transform', 'd'), Number(disc[1]));
        return (
            looks && {
                attributes: looks,
                d: strokeData(
                    {
                        points: [
                            [0, 0],
                            [0, 0],
                        ],
                        closed: false,
                    },
                    at,
                ),
            }
        );
    }
    const strokes = data === '' ? null : strokesOf(data);
    if (strokes === null) return null;
    return {
        attributes: without(attributes, 'transform', 'd'),
        d: strokes.map((stroke) => strokeData(stroke, at)).join(''),
    };
}

function ring(mark: SvgNode): SvgNode {
    const disc = round.exec(mark.attributes.get('d') ?? '');
    const at = shiftOf(mark);
    if (disc === null || at === null) return mark;
    const [cx, cy] = at.map((value) => Math.round(value * 10) / 10);
    const numbers = Object.entries({ cx, cy, r: disc[1] }).map(
        ([name, value]) => [name, String(value)] as const,
    );
    return {
        ...mark,
        tag: 'circle',
        attributes: new Map([...numbers, ...without(mark.attributes, 'transform', 'd')]),
    };
}

/**
 * The marks of a group with those that look alike in one path, in the order in which their looks appear. Half-transparent areas
 * stay apart, because they darken where they lie over each other; symbols do so only once the plot is alive.
 */
export function mergeMarks(group: SvgNode): void {
    const symbols = group.attributes.get('class')?.includes('mark-symbol');
    const paths = new Map<string, { mark: SvgNode; pieces: Set<string> }>();
    const marks: SvgNode[] = [];
    for (const mark of elements(group)) {
        const path = drawn(mark);
        if (path === null) {
            marks.push(ring(mark));
            continue;
        }
        const { attributes, d } = path;
        const apart =
            !symbols && [...attributes].some(([name, value]) => name.endsWith('opacity') && value !== '1');
        const key = apart ? `${paths.size}` : JSON.stringify([...attributes]);
        const same = paths.get(key);
        if (same !== undefined) same.pieces.add(d);
        else {
            const merged = { tag: 'path', attributes: new Map([['d', d], ...attributes]), children: [] };
            paths.set(key, { mark: merged, pieces: new Set([d]) });
            marks.push(merged);
        }
    }
    for (const { mark, pieces } of paths.values()) mark.attributes.set('d', [...pieces].join(''));
    group.children = marks;
}

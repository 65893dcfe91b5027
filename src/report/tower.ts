import { paint } from './chart/theme.js';
import { html, type Markup, type Piece } from './html.js';
import { around, marksText, type PlanFrame, type PlanPoint, planPath, planPlace, round } from './plan.js';

/** Where the bearing is set, with the words beside it. */
export interface TowerPin extends PlanPoint {
    label: string;
}

/** A whole mark of the scale, or a corner of the reach of two scales. */
export interface TowerMark extends PlanPoint {
    mark_1: number;
    mark_2: number | null;
}

export interface Tower {
    /** Radius of the tower in the picture; the frame says where its middle is, and how large a millimetre. */
    radius: number;
    frame: PlanFrame;
    /** Along the scale of the plate as it is clocked, or the four corners of two scales. */
    marks: readonly TowerMark[];
    /** Directions of the index positions from the front of the car towards outboard, rad. */
    turns: readonly number[];
    /** Which of them the plate is in; null where it is not known. */
    turn: number | null;
    pins: readonly TowerPin[];
    fontSize: number;
}

/** Fills of the pins by their place, with a shape besides. */
const pinPaints = [paint.first, paint.second, paint.third] as const;

/** The mark of pin `place` at `x`, `y`: disc, diamond, square. */
export function pinMark(place: number, [x, y]: readonly [number, number], r: number): Markup {
    const look = html`fill="${pinPaints[place % 3]!}" stroke="var(--paper)" stroke-width="1.5"`;
    if (place % 3 === 0) return html`<circle cx="${x}" cy="${y}" r="${r}" ${look}/>`;
    const d = round(r * 1.3);
    if (place % 3 === 1)
        return html`<path d="M${x},${round(y - d)}l${d},${d}l${-d},${d}l${-d},${-d}Z" ${look}/>`;
    return html`<rect x="${round(x - r)}" y="${round(y - r)}" width="${2 * r}" height="${2 * r}" ${look}/>`;
}

/** A place on the rim of the tower, `turn` from the front of the car towards outboard. */
function rim({ frame }: Tower, radius: number, turn: number): [number, number] {
    const side = frame.side === 'left' ? -1 : 1;
    return [
        round(frame.centre[0] + side * radius * Math.sin(turn)),
        round(frame.centre[1] - radius * Math.cos(turn)),
    ];
}

function bolt(tower: Tower, turn: number, isIndex: boolean): Markup {
    const [x, y] = rim(tower, tower.radius * 0.82, turn);
    const r = tower.radius * 0.085;
    const corners = Array.from({ length: 6 }, (_, place) => {
        const angle = (place * Math.PI) / 3;
        return `${round(x + r * Math.cos(angle))},${round(y + r * Math.sin(angle))}`;
    });
    return html`<circle cx="${x}" cy="${y}" r="${round(r * 1.75)}" fill="var(--raised)" stroke="${isIndex ? paint.ink : paint.muted}" stroke-width="${isIndex ? 2 : 1}"/><path d="M${corners.join('L')}Z" fill="${isIndex ? paint.ink : 'none'}" stroke="${isIndex ? paint.ink : paint.muted}"/>`;
}

/** Ticks across the slot at its whole marks, and the numbers of its ends and of 0. */
function scaleMarkup({ frame, marks, fontSize }: Tower): Markup {
    const ends = [marks[0]!, marks.at(-1)!];
    const [from, to] = ends.map((end) => planPlace(frame, end)) as [[number, number], [number, number]];
    const long = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
    const along = [(to[0] - from[0]) / long, (to[1] - from[1]) / long] as const;
    const ticks = marks.map((mark) => {
        const [x, y] = planPlace(frame, mark);
        const half = mark.mark_1 === 0 ? 10 : 6;
        return `M${round(x - along[1] * half)},${round(y + along[0] * half)}L${round(x + along[1] * half)},${round(y - along[0] * half)}`;
    });
    const labels = ends.map((end, place) => {
        const [x, y] = planPlace(frame, end);
        const away = (place === 0 ? -1 : 1) * (fontSize * 0.7 + 8);
        return html`<text x="${round(x + along[0] * away)}" y="${round(y + along[1] * away + fontSize * 0.35)}" text-anchor="middle" fill="${paint.muted}">${marksText(end.mark_1, null)}</text>`;
    });
    return html`<path d="M${from.join(',')}L${to.join(',')}" stroke="${paint.rule}" stroke-width="15" stroke-linecap="round"/><path d="${ticks.join('')}" stroke="${paint.muted}"/>${labels}`;
}

/** Ticks at the whole marks of a scale that runs from `from` to `to`, each towards `beside`. */
function edgeTicks(
    frame: PlanFrame,
    [from, to, beside]: readonly TowerMark[],
    scale: 'mark_1' | 'mark_2',
): string {
    const [low, high] = [from![scale]!, to![scale]!];
    const [start, end, side] = [from!, to!, beside!].map((mark) => planPlace(frame, mark)) as [
        number,
        number,
    ][];
    const wide = Math.hypot(side![0] - start![0], side![1] - start![1]) || 1;
    return Array.from({ length: Math.floor(high) - Math.ceil(low) + 1 }, (_, place) => {
        const part = (Math.ceil(low) + place - low) / (high - low || 1);
        const at = [0, 1].map((axis) => start![axis]! + part * (end![axis]! - start![axis]!));
        const tip = [0, 1].map((axis) => at[axis]! + (5 / wide) * (side![axis]! - start![axis]!));
        return `M${at.map(round).join()}L${tip.map(round).join()}`;
    }).join('');
}

/** Where two scales reach, with the whole marks of each along an edge. */
function reachMarkup({ frame, marks }: Tower): Markup {
    const corners = marks.slice(0, 4);
    const [first, ...others] = [...corners].sort((a, b) => a.mark_1 - b.mark_1 || a.mark_2! - b.mark_2!);
    const along = others.find(({ mark_2 }) => mark_2 === first!.mark_2);
    const across = others.find(({ mark_1 }) => mark_1 === first!.mark_1);
    const ticks =
        along === undefined || across === undefined
            ? ''
            : edgeTicks(frame, [first!, along, across], 'mark_1') +
              edgeTicks(frame, [first!, across, along], 'mark_2');
    return html`<path d="${planPath(frame, around(corners), true)}" fill="${paint.rule}" stroke="${paint.muted}" stroke-linejoin="round"/><path d="${ticks}" stroke="${paint.ink}"/>`;
}

/** Labels of the pins beside the slot, away from the cross; on the other side, or not at all, where one would stand upon another. */
function pinLabels({ frame, pins, radius, fontSize, marks }: Tower): Piece {
    const [from, to] = [planPlace(frame, marks[0]!), planPlace(frame, marks.at(-1)!)];
    const isFlat = Math.abs(to[0] - from[0]) >= Math.abs(to[1] - from[1]);
    const away = (from[1] + to[1]) / 2 >= frame.centre[1] ? 1 : -1;
    const taken: { x: number; y: number; half: number; side: number }[] = [];
    return pins.map((pin) => {
        const [x, y] = planPlace(frame, pin);
        const half = pin.label.length * fontSize * 0.36;
        const inside = (at: number, room: number) =>
            Math.min(Math.max(at, frame.centre[0] - room), frame.centre[0] + room);
        const placed = isFlat
            ? inside(x, Math.max(radius - half, 0))
            : inside(x + 14 + half, Math.max(radius + 8 - half, 0));
        const isFree = (side: number) =>
            taken.every(
                (other) =>
                    other.side !== side ||
                    Math.abs(other.x - placed) > other.half + half ||
                    (!isFlat && Math.abs(other.y - y) > fontSize * 1.3),
            );
        const side = !isFlat ? 0 : isFree(away) ? away : -away;
        if (!isFree(side)) return null;
        taken.push({ x: placed, y, half, side });
        return html`<text x="${round(placed)}" y="${round(y + side * (fontSize + 8) + fontSize * 0.35)}" text-anchor="middle" fill="${paint.ink}" font-weight="650" stroke="var(--paper)" stroke-width="4" stroke-linejoin="round" paint-order="stroke">${pin.label}</text>`;
    });
}

/**
 * Plan view of a strut tower, front of the car up: tower with its front mark, plate with its bolts, scale and the bearing at each pin;
 * the cross is the bearing of the original mount. Text inherits the font of the picture, its size is `fontSize`.
 */
export function towerMarkup(tower: Tower): Markup {
    const { frame, radius, marks, pins, turns, turn, fontSize } = tower;
    const [cx, cy] = frame.centre;
    const twoScales = marks.length > 0 && marks[0]!.mark_2 !== null;
    const front = round(cy - radius);
    const slot = marks.length === 0 ? null : twoScales ? reachMarkup(tower) : scaleMarkup(tower);
    const bolts = turns.map((one, place) => bolt(tower, one, place === turn));
    const drawn = pins.map((pin, place) =>
        pinMark(place, planPlace(frame, pin), Math.max(5, radius * 0.055)),
    );
    return html`<g><circle cx="${cx}" cy="${cy}" r="${radius}" fill="var(--raised)" stroke="${paint.muted}"/><circle cx="${cx}" cy="${cy}" r="${round(radius * 0.7)}" fill="var(--paper)" stroke="${paint.ink}" stroke-width="1.5"/>${bolts}<path d="M${cx},${front - 3}l-6,-10h12z" fill="${paint.ink}"/><text x="${cx}" y="${front - 18}" text-anchor="middle" font-size="${fontSize}" fill="${paint.muted}">front</text>${slot}<path d="M${cx - 7},${cy}h14M${cx},${cy - 7}v14" stroke="${paint.ink}" stroke-width="1.6"/>${marks.length === 0 ? null : pinLabels(tower)}${drawn}</g>`;
}

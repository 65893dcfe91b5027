import { fixed } from './format.js';
import { html, type Markup } from './html.js';

/** A place of the bearing centre, mm outboard and rearward of the original mount's. */
export interface PlanPoint {
    out_mm: number;
    aft_mm: number;
}

/** Picture units per millimetre, and the middle of the original mount, of a strut top drawn in plan view, front of the car up. */
export interface PlanFrame {
    side: 'left' | 'right';
    centre: readonly [number, number];
    scale: number;
}

/** Outboard is away from the middle of the car: left of the picture on the left side. */
export function planPlace(
    { side, centre, scale }: PlanFrame,
    { out_mm, aft_mm }: PlanPoint,
): [number, number] {
    const x = centre[0] + (side === 'left' ? -1 : 1) * scale * out_mm;
    return [round(x), round(centre[1] + scale * aft_mm)];
}

export const round = (value: number) => Math.round(value * 10) / 10;

/** A line through `points`; `closed` back to the first. */
export function planPath(frame: PlanFrame, points: readonly PlanPoint[], closed = false): string {
    const places = points.map((point) => planPlace(frame, point).join(','));
    return `M${places.join('L')}${closed ? 'Z' : ''}`;
}

/** Corners of a quadrilateral in turn round their middle, so that the line through them does not cross itself. */
export function around<P extends PlanPoint>(points: readonly P[]): P[] {
    const out = points.reduce((sum, point) => sum + point.out_mm, 0) / points.length;
    const aft = points.reduce((sum, point) => sum + point.aft_mm, 0) / points.length;
    const angle = (point: P) => Math.atan2(point.aft_mm - aft, point.out_mm - out);
    return [...points].sort((a, b) => angle(a) - angle(b));
}

/** A strut tower from above round `centre`: its edge, the front mark, and the plate on its bolts; front of the car up. */
export function towerPlan([cx, cy]: readonly [number, number], edge: number, bolts: number): Markup {
    const places = Array.from({ length: bolts }, (_, bolt): [number, number] => {
        const turn = (2 * Math.PI * bolt) / bolts;
        return [round(cx + 0.86 * edge * Math.sin(turn)), round(cy - 0.86 * edge * Math.cos(turn))];
    });
    const ears = places.map(([x, y]) => html`<circle class="plate" cx="${x}" cy="${y}" r="9"/>`);
    const heads = places.map(([x, y]) => html`<circle class="bolt" cx="${x}" cy="${y}" r="4"/>`);
    return html`<circle class="guide" cx="${cx}" cy="${cy}" r="${edge}"/>${ears}<circle class="plate" cx="${cx}" cy="${cy}" r="${round(0.8 * edge)}"/>${heads}<path class="solid" d="M${cx},${round(cy - edge - 11)}l5,10h-10z"/><text x="${cx + 9}" y="${round(cy - edge - 2)}">front</text>`;
}

/** An arrow that says which way is outboard, at the foot of a picture `width` wide. */
export function outboardArrow(side: 'left' | 'right', width: number, foot: number): Markup {
    const step = side === 'left' ? -1 : 1;
    const from = side === 'left' ? width - 8 : 8;
    const tip = from + step * 22;
    return html`<path class="guide" d="M${from},${foot}H${tip}"/><path class="solid" d="M${tip + step * 7},${foot}l${-step * 8},-4v8z"/><text x="${tip + step * 11}" y="${foot + 4}" text-anchor="${side === 'left' ? 'end' : 'start'}">outboard</text>`;
}

/** `mark −4`, or `−4 | 2` on two scales. */
export function marksText(mark_1: number | null, mark_2: number | null): string {
    const text = (mark: number) =>
        fixed(mark, Number.isInteger(mark) ? 0 : Number.isInteger(mark * 2) ? 1 : 2);
    if (mark_1 === null) return '–';
    return mark_2 === null ? text(mark_1) : `${text(mark_1)} | ${text(mark_2)}`;
}

import { html, type Markup } from '../../src/report/html.js';
import {
    around,
    marksText,
    outboardArrow,
    type PlanFrame,
    type PlanPoint,
    planPath,
    planPlace,
    round,
    towerPlan,
} from '../../src/report/plan.js';
import type { Setting, SlotPoint } from './rows.js';

export const planWidth = 240;
export const planHeight = 142;
/** Of the edge of the tower. */
const radius = 62;

/** Pointer places that fall together. */
interface Pin extends PlanPoint {
    /** Whose place it is: 0 = now, 1 and 2 = targets. */
    of: number[];
    marks: string;
}

function pinsOf(settings: readonly Setting[]): Pin[] {
    const first = settings[0]!;
    const pins: Pin[] = [
        {
            out_mm: first.offset_out_mm - first.move_out_mm,
            aft_mm: first.offset_aft_mm - first.move_aft_mm,
            of: [0],
            marks: marksText(first.present_mark_1, first.present_mark_2),
        },
    ];
    for (const [index, row] of settings.entries()) {
        const same = pins.find(
            (pin) => Math.hypot(pin.out_mm - row.offset_out_mm, pin.aft_mm - row.offset_aft_mm) < 0.05,
        );
        if (same !== undefined) same.of.push(index + 1);
        else {
            pins.push({
                out_mm: row.offset_out_mm,
                aft_mm: row.offset_aft_mm,
                of: [index + 1],
                marks: marksText(row.mark_1, row.mark_2),
            });
        }
    }
    return pins;
}

/** The sign of the present place (0) or of a target (1 and 2), as it stands in the drawing and in the heads of the table. */
export function pinSign(order: number, [x, y]: readonly [number, number] = [7, 7]): Markup {
    if (order === 0) return html`<circle class="now" cx="${x}" cy="${y}" r="5"/>`;
    if (order === 1) return html`<circle class="solid" cx="${x}" cy="${y}" r="5"/>`;
    return html`<path class="solid" d="M${x},${round(y - 6.5)}L${round(x + 6.5)},${y}L${x},${round(y + 6.5)}L${round(x - 6.5)},${y}Z"/>`;
}

type Spot = readonly [number, number];

/** From a pin to the edge of its label. */
interface Lead {
    pin: Pin;
    from: Spot;
    to: Spot;
}

/** Labels stand in a column beside the tower, in the order of the pins from front to rear, each tied to its pin by a line. */
function leadsOf(frame: PlanFrame, pins: readonly Pin[]): Lead[] {
    const sorted = [...pins].sort((a, b) => a.aft_mm - b.aft_mm);
    return sorted.map((pin, index) => {
        const at = round(frame.centre[1] + (index - (sorted.length - 1) / 2) * 30);
        const inward = (frame.side === 'left' ? -1 : 1) * (labelWidth(pin) + 4);
        return { pin, from: planPlace(frame, pin), to: [round(columnOf(frame) + inward), at] };
    });
}

const signStep = 17;

function labelWidth({ marks, of }: Pin): number {
    return round(marks.length * 10.4 + of.length * signStep);
}

/** Where the labels of the pins stand. */
function columnOf({ side }: PlanFrame): number {
    return side === 'left' ? planWidth - 4 : 4;
}

function labels(frame: PlanFrame, leads: readonly Lead[]): Markup[] {
    const column = columnOf(frame);
    const isLeft = frame.side === 'left';
    return leads.map(({ pin, from: [x, y], to: [edge, at] }) => {
        const start = isLeft ? column - labelWidth(pin) : column;
        const signs = pin.of.map((order, place) => pinSign(order, [round(start + 7 + place * signStep), at]));
        return html`<path class="lead" d="M${x},${y}L${edge},${at}"/>${signs}<text class="strong" x="${isLeft ? column : round(start + pin.of.length * signStep)}" y="${round(at + 5)}" text-anchor="${isLeft ? 'end' : 'start'}">${pin.marks}</text>`;
    });
}

/** How far a line stays from a text of the given half-width with its middle at `spot`; negative where it strikes it through. */
function clearance({ from, to }: Lead, [x, y]: Spot, half: number): number {
    const gaps = Array.from({ length: 65 }, (_, step) => {
        const [dx, dy] = [from[0], from[1]].map(
            (start, axis) => start + ((to[axis]! - start) * step) / 64 - [x, y][axis]!,
        );
        return Math.max(Math.abs(dx!) - half, Math.abs(dy!) - 6);
    });
    return Math.min(gaps[0]! - 6, ...gaps);
}

function ticks(frame: PlanFrame, scale: readonly SlotPoint[]): Markup[] {
    if (scale.length < 2) return [];
    const [x1, y1] = planPlace(frame, scale[0]!);
    const [x2, y2] = planPlace(frame, scale.at(-1)!);
    const long = Math.hypot(x2 - x1, y2 - y1);
    const [nx, ny] = [(-(y2 - y1) / long) * 5, ((x2 - x1) / long) * 5];
    return scale.map((point) => {
        const [x, y] = planPlace(frame, point);
        return html`<path d="M${round(x - nx)},${round(y - ny)}L${round(x + nx)},${round(y + ny)}"/>`;
    });
}

/** The numbers at both ends of a scale: on its line or beside it, where no line to a label strikes them through. */
function ends(
    frame: PlanFrame,
    scale: readonly SlotPoint[],
    of: 'mark_1' | 'mark_2',
    leads: readonly Lead[],
): Markup[] {
    if (scale.length < 2) return [];
    return [
        [scale[0]!, scale[1]!],
        [scale.at(-1)!, scale.at(-2)!],
    ].map(([end, next]) => {
        const [x, y] = planPlace(frame, end!);
        const [fromX, fromY] = planPlace(frame, next!);
        const text = marksText(end![of], null);
        const half = text.length * 3.2;
        const along = Math.atan2(y - fromY, x - fromX);
        const spots = [0, 45, -45, 90, -90].map((turn): Spot => {
            const angle = along + (turn * Math.PI) / 180;
            const reach = turn === 0 ? 11 : 16;
            return [x + reach * Math.cos(angle), y + reach * Math.sin(angle)];
        });
        const gap = (spot: Spot) => Math.min(...leads.map((lead) => clearance(lead, spot, half)));
        const best = Math.max(...spots.map(gap));
        const [atX, atY] = spots.find((spot) => gap(spot) >= Math.min(1, best))!;
        return html`<text class="end" x="${round(atX)}" y="${round(atY + 4)}" text-anchor="middle">${text}</text>`;
    });
}

/** What stands in one strut tower: the plate as it is clocked on its bolts, its scale, and the pointer now and at each target. */
export function platePlan(settings: readonly Setting[], slot: readonly SlotPoint[]): Markup {
    const side = settings[0]!.corner === 'FL' ? 'left' : 'right';
    const pins = pinsOf(settings);
    const reach = Math.max(...[...slot, ...pins].map(({ out_mm, aft_mm }) => Math.hypot(out_mm, aft_mm)), 6);
    const frame: PlanFrame = {
        side,
        centre: [side === 'left' ? radius + 3 : planWidth - radius - 3, radius + 14],
        scale: (radius - 27) / reach,
    };
    const part = (name: SlotPoint['part']) => slot.filter((point) => point.part === name);
    const [scale, second, corners] = [part('scale'), part('second scale'), part('corner')];
    const [cx, cy] = frame.centre;
    const body =
        corners.length > 0
            ? html`<path class="slot" d="${planPath(frame, around(corners), true)}"/>`
            : html`<path class="slot" d="${planPath(frame, scale)}"/>`;
    const line = (points: readonly SlotPoint[]) =>
        points.length > 1 ? html`<path d="${planPath(frame, points)}"/>` : null;
    const leads = leadsOf(frame, pins);
    const signs = pins.map((pin) => pinSign(pin.of.at(-1)!, planPlace(frame, pin)));
    return html`${towerPlan(frame.centre, radius, settings[0]!.bolt_count)}${body}<g class="scale">${line(scale)}${line(second)}${ticks(frame, scale)}${ticks(frame, second)}</g><path class="original" d="M${cx - 5},${cy}h10M${cx},${cy - 5}v10"/>${labels(frame, leads)}${ends(frame, scale, 'mark_1', leads)}${ends(frame, second, 'mark_2', leads)}${signs}${outboardArrow(side, planWidth, planHeight - 8)}`;
}

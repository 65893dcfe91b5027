import { html, type Markup } from '../../src/report/html.js';
import {
    around,
    marksText,
    type PlanFrame,
    type PlanPoint,
    planArrows,
    planPath,
    planPlace,
    round,
} from '../../src/report/plan.js';
import type { Setting, SlotPoint } from './rows.js';

const width = 240;
const height = 164;
const radius = 66;

/** Pointer places that fall together, in order: now, then the targets. */
interface Pin extends PlanPoint {
    names: string[];
    marks: string;
    /** 0 = now, 1 and 2 = targets. */
    order: number;
}

function pinsOf(settings: readonly Setting[]): Pin[] {
    const first = settings[0]!;
    const pins: Pin[] = [
        {
            out_mm: first.offset_out_mm - first.move_out_mm,
            aft_mm: first.offset_aft_mm - first.move_aft_mm,
            names: ['now'],
            marks: marksText(first.present_mark_1, first.present_mark_2),
            order: 0,
        },
    ];
    for (const [index, row] of settings.entries()) {
        const same = pins.find(
            (pin) => Math.hypot(pin.out_mm - row.offset_out_mm, pin.aft_mm - row.offset_aft_mm) < 0.05,
        );
        if (same !== undefined) {
            same.names.push(row.target);
            same.order = index + 1;
        } else {
            pins.push({
                out_mm: row.offset_out_mm,
                aft_mm: row.offset_aft_mm,
                names: [row.target],
                marks: marksText(row.mark_1, row.mark_2),
                order: index + 1,
            });
        }
    }
    return pins;
}

function pinSymbol(order: number, [x, y]: readonly [number, number]): Markup {
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

/** Labels stand in a column beside the tower, in the order of the pins from front to rear, each tied to its pin by a line that keeps clear of the name. */
function leadsOf(frame: PlanFrame, pins: readonly Pin[]): Lead[] {
    const sorted = [...pins].sort((a, b) => a.aft_mm - b.aft_mm);
    return sorted.map((pin, index) => {
        const at = round(frame.centre[1] + (index - (sorted.length - 1) / 2) * 36);
        const inward = (frame.side === 'left' ? -1 : 1) * (pin.marks.length * 7.6 + 6);
        return { pin, from: planPlace(frame, pin), to: [round(columnOf(frame) + inward), round(at - 4)] };
    });
}

/** Where the labels of the pins stand. */
function columnOf({ side }: PlanFrame): number {
    return side === 'left' ? width - 4 : 4;
}

function labels(frame: PlanFrame, leads: readonly Lead[]): Markup[] {
    const column = columnOf(frame);
    const anchor = frame.side === 'left' ? 'end' : 'start';
    return leads.map(({ pin, from: [x, y], to: [edge, level] }) => {
        const at = round(level + 4);
        return html`<path class="lead" d="M${x},${y}L${edge},${level}"/><text class="strong" x="${column}" y="${at}" text-anchor="${anchor}">${pin.marks}</text><text x="${column}" y="${round(y > at ? at - 14 : at + 12)}" text-anchor="${anchor}">${pin.names.join(' = ')}</text>`;
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

/** Plan view of one strut top: the plate as it is clocked, its scale, and the pointer now and at each target. */
export function platePlan(settings: readonly Setting[], slot: readonly SlotPoint[]): Markup {
    const side = settings[0]!.corner === 'FL' ? 'left' : 'right';
    const pins = pinsOf(settings);
    const reach = Math.max(...[...slot, ...pins].map(({ out_mm, aft_mm }) => Math.hypot(out_mm, aft_mm)), 6);
    const frame: PlanFrame = {
        side,
        centre: [side === 'left' ? 74 : width - 74, 72],
        scale: (radius - 16) / reach,
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
    const target = pins.filter((pin) => pin.order > 0);
    const leads = leadsOf(frame, pins);
    return html`<svg viewBox="0 0 ${width} ${height}" class="plan"><circle class="guide" cx="${cx}" cy="${cy}" r="${radius}"/>${body}<g class="scale">${line(scale)}${line(second)}${ticks(frame, scale)}${ticks(frame, second)}</g><path class="original" d="M${cx - 5},${cy}h10M${cx},${cy - 5}v10"/>${labels(frame, leads)}${ends(frame, scale, 'mark_1', leads)}${ends(frame, second, 'mark_2', leads)}${target.length === pins.length ? null : pinSymbol(0, planPlace(frame, pins.find((pin) => pin.order === 0)!))}${target.map((pin) => pinSymbol(pin.order, planPlace(frame, pin)))}${planArrows(side, width, height - 8)}</svg>`;
}

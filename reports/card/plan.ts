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
const height = 176;
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

/** Labels stand in a column beside the tower, in the order of the pins from front to rear, each tied to its pin by a line that keeps clear of the name. */
function labels(frame: PlanFrame, pins: readonly Pin[]): Markup[] {
    const column = frame.side === 'left' ? width - 4 : 4;
    const anchor = frame.side === 'left' ? 'end' : 'start';
    const sorted = [...pins].sort((a, b) => a.aft_mm - b.aft_mm);
    return sorted.map((pin, index) => {
        const [x, y] = planPlace(frame, pin);
        const at = round(frame.centre[1] + (index - (sorted.length - 1) / 2) * 36);
        const edge = column + (frame.side === 'left' ? -1 : 1) * (pin.marks.length * 7.6 + 6);
        return html`<path class="lead" d="M${x},${y}L${round(edge)},${round(at - 4)}"/><text class="strong" x="${column}" y="${at}" text-anchor="${anchor}">${pin.marks}</text><text x="${column}" y="${round(y > at ? at - 14 : at + 12)}" text-anchor="${anchor}">${pin.names.join(' = ')}</text>`;
    });
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

function ends(frame: PlanFrame, scale: readonly SlotPoint[], of: 'mark_1' | 'mark_2'): Markup[] {
    if (scale.length < 2) return [];
    return [
        [scale[0]!, scale[1]!],
        [scale.at(-1)!, scale.at(-2)!],
    ].map(([end, next]) => {
        const [x, y] = planPlace(frame, end!);
        const [fromX, fromY] = planPlace(frame, next!);
        const step = Math.hypot(x - fromX, y - fromY);
        return html`<text x="${round(x + ((x - fromX) / step) * 11)}" y="${round(y + ((y - fromY) / step) * 11 + 4)}" text-anchor="middle">${marksText(end![of], null)}</text>`;
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
    return html`<svg viewBox="0 0 ${width} ${height}" class="plan"><circle class="guide" cx="${cx}" cy="${cy}" r="${radius}"/>${body}<g class="scale">${line(scale)}${line(second)}${ticks(frame, scale)}${ticks(frame, second)}</g><path class="original" d="M${cx - 5},${cy}h10M${cx},${cy - 5}v10"/>${labels(frame, pins)}${ends(frame, scale, 'mark_1')}${ends(frame, second, 'mark_2')}${target.length === pins.length ? null : pinSymbol(0, planPlace(frame, pins.find((pin) => pin.order === 0)!))}${target.map((pin) => pinSymbol(pin.order, planPlace(frame, pin)))}${planArrows(side, width, height - 8)}</svg>`;
}

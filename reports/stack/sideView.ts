import { stackMissing, stackReason } from '../../src/model/stackWords.js';
import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { fixed } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { round } from '../../src/report/plan.js';
import { capital } from '../../src/units/capital.js';
import { pieceWords } from '../../src/units/pieceWords.js';
import type { Layer, Stack } from './rows.js';
import { spread } from './spread.js';

const width = 344;
const centre = 114;
/** Half the width of the widest part; where the brackets stand, and the column of labels. */
const widest = 66;
const [bracket, column] = [centre + widest + 8, centre + widest + 24];
const labelStep = 13.5;

/** How far a part of each role stands out beyond the shaft, in units of the drawing: its width is not known. */
const overhang: Record<string, number> = {
    bush: 8,
    spring_plate: widest,
    spacer: 12,
    lower_adapter: 17,
    bearing: 22,
    upper_adapter: 17,
    dust_washer: 22,
    nut: 14,
};

interface Frame {
    scale: number;
    /** Half the diameter of the shaft. */
    half: number;
    /** Top and foot of the drawing, in mm above the seat. */
    top_mm: number;
    foot_mm: number;
    y(mm: number): number;
}

function frameOf(stack: Stack): Frame {
    const top_mm =
        Math.max(
            stack.shoulder_length_mm + stack.thread_length_mm,
            stack.clamped_length_mm + stack.nut_height_mm,
        ) + 2;
    const foot_mm = -8;
    const scale = Math.min(4.4, 420 / (top_mm - foot_mm), 60 / stack.seat_diameter_mm);
    return {
        scale,
        half: (stack.seat_diameter_mm / 2) * scale,
        top_mm,
        foot_mm,
        y: (mm) => round((top_mm - mm) * scale + 8),
    };
}

function rect(frame: Frame, low_mm: number, high_mm: number, halfWidth: number, look: Markup): Markup {
    const [top, foot] = [frame.y(high_mm), frame.y(low_mm)];
    return html`<rect x="${round(centre - halfWidth)}" y="${top}" width="${round(2 * halfWidth)}" height="${round(Math.max(foot - top, 0.5))}" ${look}/>`;
}

/** The shaft: body under the seat, shank up to the step, thread above it. */
function shaftMarkup(stack: Stack, frame: Frame): Markup {
    const { shoulder_length_mm: step, thread_length_mm: thread } = stack;
    const look = html`fill="none" stroke="${paint.ink}"`;
    const root = frame.half * 0.84;
    const turns = Array.from({ length: Math.floor(thread / 1.5) }, (_, index) =>
        frame.y(step + 1.5 * (index + 0.5)),
    );
    const threads = turns.map((y) => html`M${round(centre - root)},${y}h${round(2 * root)}`);
    return html`<g>${rect(frame, frame.foot_mm, 0, frame.half * 1.5, look)}${rect(frame, 0, step, frame.half, look)}${rect(frame, step, step + thread, root, look)}<path d="${threads}" stroke="${paint.muted}" stroke-width="0.7"/></g>`;
}

function layerMarkup(layer: Layer, frame: Frame): Markup {
    const bearing = layer.role === 'bearing';
    const look = html`fill="${bearing ? paint.first : paint.rule}" fill-opacity="${bearing ? 0.25 : 0.75}" stroke="${bearing ? paint.first : paint.ink}" stroke-width="1.3"`;
    return rect(
        frame,
        layer.low_mm,
        layer.low_mm + layer.height_mm,
        Math.min(frame.half + overhang[layer.role]!, widest),
        look,
    );
}

/** Heights above the seat of the upper face of the spring plate and of the lower edge of the loaded mount; null without a clearance. */
function gapOf(
    stack: Stack,
    layers: readonly Layer[],
): { plate: number; mount: number; bearing: Layer } | null {
    const bearing = layers.find(({ role }) => role === 'bearing');
    if (bearing === undefined || stack.clearance_mm === null) return null;
    const plate = bearing.low_mm - stack.plate_to_bearing_mm!;
    return { plate, mount: plate + stack.clearance_mm, bearing };
}

/** The mount that the spring presses down, and the car's own spring plate where it is used: dashed, their shape is not known. */
function mountMarkup(stack: Stack, layers: readonly Layer[], frame: Frame): Markup | null {
    const gap = gapOf(stack, layers);
    if (gap === null) return null;
    const top = Math.max(gap.bearing.low_mm + gap.bearing.height_mm, gap.mount + 2);
    const own =
        stack.spring_plate === 'car'
            ? html`<path d="M${centre - widest},${frame.y(gap.plate)}h${2 * widest}" stroke="${paint.ink}" stroke-dasharray="5,3"/>`
            : null;
    return html`${rect(frame, gap.mount, top, widest - 7, html`fill="none" stroke="${paint.first}" stroke-dasharray="5,3"`)}${own}`;
}

interface Dimension {
    from_mm: number;
    to_mm: number;
    text: string;
    short: boolean;
}

/** The three lengths that decide, as brackets on the right. */
function dimensions(stack: Stack, layers: readonly Layer[]): Dimension[] {
    const { shoulder_length_mm: step, clamped_length_mm: clamped, nut_height_mm: nut } = stack;
    const gap = gapOf(stack, layers);
    const one = (from_mm: number, length: number, low: number, needed: number, word: string): Dimension => ({
        from_mm,
        to_mm: from_mm + length,
        short: low < needed,
        text: `${word} ${fixed(length, 1)}${length < needed ? `, needs ${fixed(needed, 1)}` : low < needed ? ', tight' : ''}`,
    });
    return [
        one(step, stack.shoulder_margin_mm, stack.shoulder_margin_low_mm, stack.min_margin_mm, 'step'),
        ...(stack.thread_shown_mm === null
            ? []
            : [
                  one(
                      clamped + nut,
                      stack.thread_shown_mm,
                      stack.thread_shown_low_mm!,
                      stack.min_shown_mm,
                      'thread',
                  ),
              ]),
        ...(gap === null
            ? []
            : [
                  one(
                      gap.plate,
                      stack.clearance_mm!,
                      stack.clearance_low_mm!,
                      stack.min_clearance_mm,
                      'clear',
                  ),
              ]),
    ];
}

function bracketMarkup({ from_mm, to_mm, short }: Dimension, frame: Frame): Markup {
    const [from, to] = [frame.y(from_mm), frame.y(to_mm)];
    const colour = short ? paint.second : paint.first;
    return html`<path d="M${bracket - 4},${from}h8M${bracket - 4},${to}h8M${bracket},${from}V${to}" stroke="${colour}" stroke-width="1.6"/>`;
}

/** A length from the seat upward, on the left. */
function seatDimension(x: number, to_mm: number, text: string, frame: Frame): Markup {
    const [foot, top] = [frame.y(0), frame.y(to_mm)];
    const middle = (foot + top) / 2;
    return html`<path d="M${x - 4},${foot}h8M${x - 4},${top}H${round(centre - frame.half)}M${x},${foot}V${top}" stroke="${paint.muted}" stroke-width="0.8"/><text transform="translate(${x - 4},${round(middle)}) rotate(-90)" text-anchor="middle">${text}</text>`;
}

const clipped = (text: string, length: number) =>
    text.length > length ? `${text.slice(0, length - 1)}…` : text;

/** Names and lengths in a column on the right, with lines to what they are about. */
function labelsMarkup(
    stack: Stack,
    layers: readonly Layer[],
    dims: readonly Dimension[],
    frame: Frame,
): Markup {
    const gap = gapOf(stack, layers);
    const own =
        gap === null || stack.spring_plate === 'kit'
            ? []
            : [
                  {
                      at: frame.y(gap.plate),
                      from: centre + widest,
                      text: 'car’s own plate',
                      colour: paint.ink as string,
                  },
              ];
    const labels = [
        ...own,
        ...layers.map((layer) => ({
            at: frame.y(layer.low_mm + layer.height_mm / 2),
            from: round(centre + Math.min(frame.half + overhang[layer.role]!, widest)),
            text: `${clipped(layer.part, 16)} ${fixed(layer.height_mm, 1)}`,
            colour: paint.ink as string,
        })),
        ...dims.map((dim) => ({
            at: frame.y((dim.from_mm + dim.to_mm) / 2),
            from: bracket + 2,
            text: dim.text,
            colour: (dim.short ? paint.second : paint.first) as string,
        })),
    ];
    const places = spread(
        labels.map(({ at }) => at),
        labelStep,
        12,
        frame.y(frame.foot_mm) - 4,
    );
    return html`${labels.map(
        ({ at, from, text, colour }, index) =>
            html`<path d="M${from},${at}L${column - 4},${round(places[index]!)}" stroke="${paint.muted}" stroke-width="0.6"/><text x="${column}" y="${round(places[index]! + 4)}" fill="${colour}">${text}</text>`,
    )}`;
}

/** Side view of a stack on its shaft: heights and shaft to scale, widths not. */
export function sideView(stack: Stack, layers: readonly Layer[]): Drawing {
    const frame = frameOf(stack);
    const dims = dimensions(stack, layers);
    const height = frame.y(frame.foot_mm) + 24;
    const bar = frame.y(frame.foot_mm) + 12;
    const missing = stackMissing(stack);
    return {
        kind: 'drawing',
        title: `${stack.kit} on ${stack.shaft}: ${stack.sound ? 'sound' : 'not sound'}`,
        alt: `Side view of the shaft with, from the seat upward, ${pieceWords(stack.parts)}. ${capital(stackReason(stack))}.`,
        svg: html`<svg viewBox="0 0 ${width} ${round(height)}" fill="none" font-family="system-ui, sans-serif" font-size="11"><g>${layers.map((layer) => layerMarkup(layer, frame))}</g>${shaftMarkup(stack, frame)}${mountMarkup(stack, layers, frame)}<g fill="${paint.muted}">${seatDimension(14, stack.clamped_length_mm, `clamped ${fixed(stack.clamped_length_mm, 1)}`, frame)}${seatDimension(34, stack.shoulder_length_mm, `to the step ${fixed(stack.shoulder_length_mm, 1)}`, frame)}</g>${dims.map((dim) => bracketMarkup(dim, frame))}${labelsMarkup(stack, layers, dims, frame)}<path d="M${column},${bar - 4}v8M${column},${bar}h${round(10 * frame.scale)}m0,-4v8" stroke="${paint.ink}"/><text x="${round(column + 10 * frame.scale + 6)}" y="${bar + 4}" fill="${paint.ink}">10 mm</text></svg>`,
        caption:
            missing === null
                ? `${capital(stackReason(stack))}.`
                : `${capital(stackReason(stack))}. Missing: ${missing}.`,
    };
}

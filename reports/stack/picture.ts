import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { round } from '../../src/report/plan.js';
import { shortened } from '../../src/units/visibleText.js';
import { kitsOf, type Layer, type Rows, type Stack } from './rows.js';

/** Boxes and shafts in the picture. */
const [kitCount, shaftCount] = [4, 6];

/** How far a part of each role stands out beyond the shaft, in half diameters of it: widths are not known. */
const overhang: Record<string, number> = { spring_plate: 2.6, bearing: 1.1, dust_washer: 1.1, nut: 0.7 };

interface Layout {
    width: number;
    fontSize: number;
    /** Height of the drawing of a stack. */
    tall: number;
}

const layouts: Record<'wide' | 'narrow', Layout> = {
    wide: { width: 760, fontSize: 12, tall: 92 },
    narrow: { width: 358, fontSize: 10.5, tall: 78 },
};

/** Why a stack is not sound, in a few letters. */
export function shortFault(stack: Stack): string {
    if (stack.sound) return 'sound';
    const lack = /^(?:an? )?([\w-]+(?: plate)?)/.exec(stack.defects[0]?.lack ?? '')?.[1];
    if (lack !== undefined) return `lacks ${lack}`;
    if (stack.shoulder_margin_low_mm < stack.min_margin_mm) return 'too short';
    if (stack.thread_shown_low_mm !== null && stack.thread_shown_low_mm < stack.min_shown_mm)
        return 'thread ends';
    return 'too low';
}

function stackMarkup(
    stack: Stack,
    layers: readonly Layer[],
    middle: number,
    top: number,
    scale: number,
    layout: Layout,
): Markup {
    const { tall, fontSize } = layout;
    const foot = top + tall - 6;
    const y = (mm: number) => round(foot - mm * scale);
    const half = round((stack.seat_diameter_mm / 2) * scale);
    const rect = (low: number, high: number, width: number, look: Markup) =>
        html`<rect x="${round(middle - width)}" y="${y(high)}" width="${round(2 * width)}" height="${round(Math.max((high - low) * scale, 0.8))}" ${look}/>`;
    const colour = stack.sound ? paint.first : paint.second;
    const dash = stack.sound ? null : html` stroke-dasharray="3,2"`;
    const { shoulder_length_mm: step, thread_length_mm: thread } = stack;
    const parts = layers.map((layer) =>
        rect(
            layer.low_mm,
            layer.low_mm + layer.height_mm,
            half * (1 + (overhang[layer.role] ?? 0.6)),
            html`fill="${stack.sound ? colour : 'var(--paper)'}" fill-opacity="${stack.sound ? 0.22 : 1}" stroke="${colour}"${dash}`,
        ),
    );
    const words = shortFault(stack);
    return html`${parts}${rect(-4, 0, half * 1.4, html`fill="none" stroke="${paint.ink}"`)}${rect(0, step, half, html`fill="none" stroke="${paint.ink}"`)}${rect(step, step + thread, half * 0.8, html`fill="none" stroke="${paint.ink}" stroke-dasharray="1.5,1.5"`)}<text x="${middle}" y="${round(foot + fontSize + 10)}" text-anchor="middle" fill="${colour}" font-weight="${stack.sound ? 650 : 400}">${words}</text>`;
}

function drawn(rows: Rows, kits: readonly string[], shafts: readonly string[], layout: Layout): Markup {
    const { width, fontSize, tall } = layout;
    const isWide = width > 500;
    const label = isWide ? 118 : 0;
    const column = (width - label) / shafts.length;
    const names = isWide ? 0 : 18;
    const rowHeight = tall + fontSize + 14 + names;
    const tallest = Math.max(
        ...rows.stacks.map((row) =>
            Math.max(
                row.shoulder_length_mm + row.thread_length_mm,
                row.clamped_length_mm + row.nut_height_mm,
            ),
        ),
    );
    const scale = Math.min(
        (tall - 12) / (tallest + 4),
        (column * 0.24) / (Math.max(...rows.stacks.map((row) => row.seat_diameter_mm)) / 2),
    );
    const middle = (place: number) => round(label + (place + 0.5) * column);
    const heads = shafts.map(
        (shaft, place) =>
            html`<text x="${middle(place)}" y="13" text-anchor="middle" font-weight="650" fill="${paint.ink}">${shortened(shaft, Math.floor(column / (fontSize * 0.8)))}</text>`,
    );
    const lines = kits.map((kit, line) => {
        const top = 22 + line * rowHeight;
        const own = rows.stacks.filter((row) => row.kit === kit);
        const sound = own.filter((row) => row.sound).length;
        const cells = shafts.map((shaft, place) => {
            const stack = own.find((row) => row.shaft === shaft);
            if (stack === undefined) return null;
            const layers = rows.layers.filter((row) => row.kit === kit && row.shaft === shaft);
            return stackMarkup(stack, layers, middle(place), top + names, scale, layout);
        });
        const name = shortened(kit, isWide ? 15 : 34);
        const title = isWide
            ? html`<text x="0" y="${top + tall / 2}" font-weight="650" fill="${paint.ink}">${name}</text><text x="0" y="${top + tall / 2 + 17}" fill="${paint.muted}">${sound} of ${own.length} sound</text>`
            : html`<text x="0" y="${top + 13}" font-weight="650" fill="${paint.ink}">${name}</text><text x="${width}" y="${top + 13}" text-anchor="end" fill="${paint.muted}">${sound} of ${own.length} sound</text>`;
        const rule = html`<path d="M0,${top}H${width}" stroke="${paint.rule}"/>`;
        return html`${rule}${title}${cells}`;
    });
    return html`<svg viewBox="0 0 ${width} ${22 + kits.length * rowHeight + 4}" fill="none" font-family="system-ui, sans-serif" font-size="${fontSize}">${heads}${lines}</svg>`;
}

/** The best stack of every box on every shaft, to one scale; those that are not sound too. */
export function picture(rows: Rows): Drawing[] {
    const kits = kitsOf(rows).slice(0, kitCount);
    const shafts = [...new Set(rows.stacks.map(({ shaft }) => shaft))].sort();
    if (kits.length === 0) return [];
    const shown = shafts.slice(0, shaftCount);
    const cut =
        shown.length < shafts.length || kits.length < kitsOf(rows).length
            ? `; ${kits.length} of ${counted(kitsOf(rows).length, 'box', 'boxes')}, ${shown.length} of ${counted(shafts.length, 'shaft')}`
            : '';
    return [
        {
            kind: 'drawing',
            title: `The best stack of each box on each shaft: filled is sound, dashed is not. Heights and shafts to one scale, widths not known${cut}`,
            alt: `Side views of the stacks: ${rows.stacks
                .filter((row) => kits.includes(row.kit) && shown.includes(row.shaft))
                .map((row) => `${row.kit} on ${row.shaft} ${shortFault(row)}`)
                .join('; ')}.`,
            svg: drawn(rows, kits, shown, layouts.wide),
            narrow: drawn(rows, kits, shown, layouts.narrow),
        },
    ];
}

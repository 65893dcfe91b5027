import type { WhatIf } from '../blocks.js';
import { html, Markup, type Piece, scriptJson } from '../html.js';
import { frameOf, reachDrawing } from '../whatIf/reachDrawing.js';
import { reachOf } from '../whatIf/reachOf.js';
import { designWords, indexWords, kitFor, reachWords } from '../whatIf/words.js';

interface Slider {
    name: string;
    label: string;
    unit: string;
    range: [number, number];
    step: number;
}

const sliders: Slider[] = [
    { name: 'half_mm', label: 'Half-length of the slot', unit: 'mm', range: [0, 30], step: 0.5 },
    { name: 'side_mm', label: 'Half-length of the second scale', unit: 'mm', range: [0, 15], step: 0.5 },
    { name: 'middle_out', label: 'Middle of the slot, outboard', unit: 'mm', range: [-20, 20], step: 0.5 },
    { name: 'middle_aft', label: 'Middle of the slot, rearward', unit: 'mm', range: [-20, 20], step: 0.5 },
    { name: 'axis_deg', label: 'Angle of the slot at index 1', unit: '°', range: [-90, 90], step: 1 },
];

function slider({ name, label, unit, range: [low, high], step }: Slider): Markup {
    return html`<label><span>${label} <output data-unit="${unit}"></output></span><input type="range" name="${name}" min="${low}" max="${high}" step="${step}"></label>`;
}

function choice(name: string, label: string, values: readonly string[]): Piece {
    const options = values.map((value) => html`<option>${value}</option>`);
    return html`<label><span>${label}</span><select name="${name}">${options}</select></label>`;
}

/** The what-if with its picture of the first field and kit, and controls that wait for the script of the page. */
export function whatIfMarkup({ title, alt, data }: WhatIf): Markup {
    const field = data.fields[0]!;
    const kits = [...new Set(data.kits.map((one) => one.kit))];
    const kit = kitFor(data.kits, kits[0]!, field.chassis) ?? data.kits[0]!;
    const reach = reachOf(field, kit.design, field.effectiveCount[kit.kit] ?? 1);
    const picture = reachDrawing(field, kit.design, reach, frameOf(field, kit.design));
    const names = data.fields.map((one) => one.name);
    return html`<div class="what-if" id="what-if"><figure><figcaption>${title}</figcaption><div class="plot" role="img" aria-label="${alt}">${new Markup(picture)}</div></figure>
<div><p class="said" aria-live="polite"><strong>${reachWords(field, reach)}</strong> <span class="by-index">${indexWords(reach)}</span></p><p class="small shown">${field.name}, ${kit.kit}. ${designWords(kit.design)}</p>
<form hidden>${choice('field', 'Chassis and target', names)}${choice('kit', 'Start from kit', kits)}${sliders.map(slider)}<button type="reset">As the kit is</button></form></div>
<script type="application/json">${scriptJson(data)}</script></div>
`;
}

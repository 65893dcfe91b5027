import type { Drawing } from '../../src/report/blocks.js';
import { html, type Markup } from '../../src/report/html.js';
import { cornerName } from '../../src/units/cornerName.js';
import { shortened } from '../../src/units/visibleText.js';
import { pinSign, planHeight, planWidth, platePlan } from './plan.js';
import { type Rows, type Setting, targetsOf } from './rows.js';

const fronts = ['FL', 'FR'] as const;

/** The key of the signs: one below the other, so that long names have room. */
function key(targets: readonly string[], at: readonly [number, number]): Markup[] {
    return ['as it stands', ...targets].map(
        (name, order) =>
            html`<g transform="translate(${at[0]},${at[1] + 20 * order})">${pinSign(order, [7, -4])}<text x="20" y="0">${shortened(name, 42)}</text></g>`,
    );
}

function side(settings: readonly Setting[], slots: Rows['slots'], corner: 'FL' | 'FR', width: number) {
    const first = settings[0]!;
    const height = (planHeight * width) / planWidth;
    const index = first.plate_index === null ? '' : `, index ${first.plate_index}`;
    return html`<text class="strong" x="0" y="16">${cornerName(corner)}: ${first.plate_hand} plate${index}</text><svg y="26" width="${width}" height="${height}" viewBox="0 0 ${planWidth} ${planHeight}">${platePlan(
        settings,
        slots.filter((point) => point.corner === corner),
    )}</svg>`;
}

/** Both strut towers of a car from above, each with its plate, scale and pointer: now and at each target. */
export function towersDrawing(rows: Rows, vehicle: string): Drawing {
    const settings = rows.settings.filter((row) => row.vehicle === vehicle);
    const slots = rows.slots.filter((point) => point.vehicle === vehicle);
    const targets = targetsOf(settings);
    const corners = fronts.filter((corner) => settings.some((row) => row.corner === corner));
    const tower = (corner: 'FL' | 'FR', width: number) =>
        side(
            settings.filter((row) => row.corner === corner),
            slots,
            corner,
            width,
        );
    const keyHeight = 20 * (targets.length + 1);
    const step = 26 + (planHeight * 350) / planWidth + 14;
    return {
        kind: 'drawing',
        title: `${vehicle}: both strut towers from above, front of the car up. Cross: bearing of the original mount.`,
        alt: `Plan views of the strut towers of ${vehicle} with the pointers of the plates as they stand and at ${targets.join(' and ')}: ${corners.map(cornerName).join(' and ')}.`,
        svg: html`<svg class="plan" viewBox="0 0 760 ${Math.ceil(26 + (planHeight * 360) / planWidth + keyHeight + 10)}">${corners.map((corner) => html`<g transform="translate(${corner === 'FL' ? 0 : 400},0)">${tower(corner, 360)}</g>`)}<g>${key(targets, [4, 26 + Math.ceil((planHeight * 360) / planWidth) + 24])}</g></svg>`,
        narrow: html`<svg class="plan" viewBox="0 0 358 ${Math.ceil(corners.length * step + keyHeight)}">${corners.map((corner, place) => html`<g transform="translate(0,${Math.round(place * step)})">${tower(corner, 350)}</g>`)}<g>${key(targets, [4, Math.ceil(corners.length * step) + 12])}</g></svg>`,
    };
}

import type { Sheet } from '../../src/report/blocks.js';
import { cautions } from '../../src/report/cautions.js';
import { fixed } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { marksText } from '../../src/report/plan.js';
import { cornerName } from '../../src/units/cornerName.js';
import { probabilityWords } from '../../src/units/probabilityWords.js';
import { platePlan } from './plan.js';
import { type Rows, type Setting, targetsOf } from './rows.js';

function between(value: number | null, low: number | null, high: number | null, digits = 2): Markup {
    if (value === null) return html`<td>–`;
    return html`<td><b>${fixed(value, digits)}</b> <span>${fixed(low, digits)} to ${fixed(high, digits)}</span>`;
}

/** One corner: plan view, and the settings of each target beside what stands now. */
function cornerMarkup(rows: readonly Setting[], slots: Rows['slots']): Markup {
    const first = rows[0]!;
    const plate = first.same_clocking
        ? `${first.plate_hand} plate, index ${first.plate_index}`
        : `${first.plate_hand} plate in index ${first.plate_index}`;
    const line = (title: string, now: Markup, cell: (row: Setting) => Markup) =>
        html`<tr><th scope="row">${title}${now}${rows.map(cell)}\n`;
    const offset = (row: Setting, out: number, aft: number) =>
        html`<td>${fixed(out, 1)}, ${fixed(aft, 1)}${row.reachable ? null : html` <span>not reached</span>`}`;
    return html`<section class="corner"><h4>${cornerName(first.corner)} <span>${plate}</span></h4>
<div role="img" aria-label="Plan view of the plate ${cornerName(first.corner)} with its pointer now and at each target.">${platePlan(rows, slots)}</div>
<table><thead><tr><td><th scope="col">now${rows.map((row) => html`<th scope="col">${row.target}`)}<tbody>
${line('mark', html`<td>${marksText(first.present_mark_1, first.present_mark_2)}`, (row) => html`<td class="big">${marksText(row.mark_1, row.mark_2)}`)}${line('out, aft', offset({ ...first, reachable: true }, first.offset_out_mm - first.move_out_mm, first.offset_aft_mm - first.move_aft_mm), (row) => offset(row, row.offset_out_mm, row.offset_aft_mm))}${line('camber', html`<td>${fixed(first.present_camber_deg, 2)}`, (row) => between(row.camber_deg, row.camber_low_deg, row.camber_high_deg))}${line('caster', html`<td>${fixed(first.present_caster_deg, 2)}`, (row) => between(row.caster_deg, row.caster_low_deg, row.caster_high_deg))}${line('toe back', html`<td>${fixed(first.present_toe_deg, 2)}`, toeCell)}${line('chance', html`<td>`, (row) => html`<td>${row.p_in_tolerance === null ? '–' : fixed(row.p_in_tolerance, 2)}`)}</table></section>
`;
}

function toeCell(row: Setting): Markup {
    if (row.toe_basis !== 'own' && !row.stay) return html`<td>read it`;
    return between(row.toe_put_back_deg, row.toe_put_back_low_deg, row.toe_put_back_high_deg);
}

function toeWords(rows: readonly Setting[]): string {
    const first = rows[0]!;
    if (rows.every((row) => row.toe_basis !== 'own' && !row.stay)) {
        return 'Which way toe goes when these plates move is not known: read toe after moving them, and set it last.';
    }
    const totals = rows
        .filter((row) => row.corner === first.corner && row.toe_total_put_back_deg !== null)
        .map((row) => `${row.target} ${fixed(row.toe_total_put_back_deg, 2)}`);
    const second = rows.filter((row) => row.p_one_toe !== null);
    const p = Math.min(...second.map((row) => row.p_one_toe!));
    const serves =
        p >= 0.9
            ? 'serves both targets'
            : p > 0.1
              ? 'may serve both targets'
              : 'does not serve both targets: set it at each change';
    return [
        'Toe back: what the tie rods have to add after the plates have moved, toe-in positive, set last.',
        ...(totals.length === 0 ? [] : [`Both wheels: ${totals.join(', ')} deg.`]),
        ...(second.length === 0 ? [] : [`One toe setting ${serves} (probability ${probabilityWords(p)}).`]),
    ].join(' ');
}

function wholeCar(rows: readonly Setting[]): string {
    const firsts = rows.filter((row) => row.corner === rows[0]!.corner);
    return firsts
        .map((row) => `${row.target} ${row.p_both === null ? '–' : fixed(row.p_both, 2)}`)
        .join(', ');
}

function recordMarkup(corners: readonly string[]): Markup {
    const heads = ['mark', 'camber', 'caster', 'toe'];
    const row = (name: string) =>
        html`<tr><th scope="row">${name}${corners.flatMap(() => heads.map(() => html`<td>`))}\n`;
    return html`<table class="record"><thead><tr><td>${corners.map((corner) => html`<th scope="colgroup" colspan="${heads.length}">${cornerName(corner)}`)}<tr><td>${corners.flatMap(() => heads.map((head) => html`<th scope="col">${head}`))}<tbody>
${row('as found')}${row('as left')}</table>
<p class="sign-here"><span>target set</span><span>date</span><span>signature</span></p>
`;
}

/** The card of one car. */
export function sheet(rows: Rows, vehicle: string): Sheet {
    const settings = rows.settings.filter((row) => row.vehicle === vehicle);
    const first = settings[0]!;
    const corners = (['FL', 'FR'] as const).filter((corner) => settings.some((row) => row.corner === corner));
    const kits = [...new Set(settings.map((row) => row.kit))].join(', ');
    return {
        kind: 'sheet',
        title: `Setting card of ${vehicle}`,
        keys: { vehicle: [vehicle] },
        body: html`<header><h3>${vehicle}</h3><p>${first.chassis}, ${kits}<br>read ${first.read_on ?? 'on an unknown day'}; for ${targetsOf(settings).join(' and ')}</p></header>
<div class="corners">${corners.map((corner) =>
            cornerMarkup(
                settings.filter((row) => row.corner === corner),
                rows.slots.filter((point) => point.vehicle === vehicle && point.corner === corner),
            ),
        )}</div>
<p class="toe">${toeWords(settings)} Angles in degrees with 95 % intervals of the true angle; out, aft: mm from the original mount, outboard and rearward. Chance: that camber and caster of the corner are within tolerance; of the whole car, limits of left minus right included: ${wholeCar(settings)}.</p>
${recordMarkup(corners)}<p class="caution">Estimates from readings. ${cautions.spring} ${cautions.manual} ${cautions.clearance} ${cautions.recheck} ${cautions.road}</p>
`,
    };
}

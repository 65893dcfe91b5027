import type { Sheet } from '../../src/report/blocks.js';
import { cautions } from '../../src/report/cautions.js';
import { fixed } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { marksText } from '../../src/report/plan.js';
import { cornerName } from '../../src/units/cornerName.js';
import { plain } from '../../src/units/plain.js';
import { probabilityCell, probabilityWords } from '../../src/units/probabilityWords.js';
import { platePlan } from './plan.js';
import { type Rows, type Setting, targetsOf } from './rows.js';

function between(value: number | null, low: number | null, high: number | null, aim: string | null): Markup {
    if (value === null) return html`<td>–`;
    const goal = aim === null ? null : html` <span>aim ${aim}</span>`;
    return html`<td><b>${fixed(value, 2)}</b> <span>${fixed(low, 2)} to ${fixed(high, 2)}</span>${goal}`;
}

/** `−1.2 ±0.15`; null where the target does not name the angle. */
function aimText(target: number | null, tol: number | null): string | null {
    if (target === null) return null;
    const text = plain(target, 2).replace('-', '−');
    return tol === null ? text : `${text} ±${plain(tol, 2)}`;
}

/** One corner: plan view, and the settings of each target beside what stands now. */
function cornerMarkup(rows: readonly Setting[], slots: Rows['slots']): Markup {
    const first = rows[0]!;
    const plate = first.same_clocking
        ? `${first.plate_hand} plate, index ${first.plate_index}`
        : `${first.plate_hand} plate in index ${first.plate_index}`;
    const line = (title: string, now: string, cell: (row: Setting) => Markup) =>
        html`<tr><th scope="row">${title}<td>${now}${rows.map(cell)}\n`;
    const place = (out: number, aft: number) => `${fixed(out, 1)}, ${fixed(aft, 1)}`;
    const lines = [
        line(
            'mark',
            marksText(first.present_mark_1, first.present_mark_2),
            (row) => html`<td class="big">${marksText(row.mark_1, row.mark_2)}`,
        ),
        line(
            'out, aft',
            place(first.offset_out_mm - first.move_out_mm, first.offset_aft_mm - first.move_aft_mm),
            (row) =>
                html`<td>${place(row.offset_out_mm, row.offset_aft_mm)}${row.reachable ? null : html` <span>not reached</span>`}`,
        ),
        line('camber', fixed(first.present_camber_deg, 2), (row) =>
            between(
                row.camber_deg,
                row.camber_low_deg,
                row.camber_high_deg,
                aimText(row.target_camber_deg, row.camber_tol_deg),
            ),
        ),
        line('caster', fixed(first.present_caster_deg, 2), (row) =>
            between(
                row.caster_deg,
                row.caster_low_deg,
                row.caster_high_deg,
                aimText(row.target_caster_deg, row.caster_tol_deg),
            ),
        ),
        line('add toe', '', addToeCell),
        line('final toe', fixed(first.present_toe_deg, 2), finalToeCell),
        line('chance', '', (row) => html`<td>${probabilityCell(row.p_in_tolerance)}`),
    ];
    return html`<section class="corner"><h4>${cornerName(first.corner)} <span>${plate}</span></h4>
<div role="img" aria-label="Plan view of the plate ${cornerName(first.corner)} with its pointer now and at each target.">${platePlan(rows, slots)}</div>
<table><thead><tr><td><th scope="col">now${rows.map((row) => html`<th scope="col">${row.target}`)}<tbody>
${lines}</table></section>
`;
}

/** Whether what the tie rods have to add is known. */
function knowsToe(row: Setting): boolean {
    const toTarget = row.target_toe_deg === null || row.present_toe_deg !== null;
    return toTarget && (row.toe_basis === 'own' || row.stay);
}

function addToeCell(row: Setting): Markup {
    if (!knowsToe(row)) return html`<td>read it`;
    return between(row.toe_put_back_deg, row.toe_put_back_low_deg, row.toe_put_back_high_deg, null);
}

/** What the tie rods are set to: the toe of the target, or the present one where it names none. */
function finalToeCell(row: Setting): Markup {
    if (row.target_toe_deg === null) {
        return html`<td>${row.present_toe_deg === null ? '–' : `${fixed(row.present_toe_deg, 2)}, as now`}`;
    }
    return html`<td><b>${aimText(row.target_toe_deg, row.toe_tol_deg)}</b>`;
}

function toeWords(rows: readonly Setting[]): string {
    const first = rows[0]!;
    if (!rows.some(knowsToe)) {
        return 'What to add to toe is not known here: read toe after moving the plates, and set it last.';
    }
    const unknown = new Set(rows.filter((row) => !knowsToe(row)).map((row) => row.target));
    const totals = rows
        .filter((row) => row.corner === first.corner && row.toe_total_put_back_deg !== null)
        .filter((row) => !unknown.has(row.target))
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
        'Add toe: what the tie rods of each wheel have to add, once the plates have moved, for the final toe; toe-in positive, set last.',
        ...(totals.length === 0 ? [] : [`Both wheels: ${totals.join(', ')} deg.`]),
        ...(second.length === 0 ? [] : [`One toe setting ${serves} (probability ${probabilityWords(p)}).`]),
    ].join(' ');
}

function wholeCar(rows: readonly Setting[]): string {
    const firsts = rows.filter((row) => row.corner === rows[0]!.corner);
    return firsts.map((row) => `${row.target} ${probabilityCell(row.p_both)}`).join(', ');
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
<p class="toe">${toeWords(settings)} Angles in degrees, with 95 % intervals of the true angle and the target as aim; out, aft: mm from the original mount. Chance: that camber and caster of the corner are within tolerance; of the whole car, left minus right included: ${wholeCar(settings)}.</p>
${recordMarkup(corners)}<p class="caution">Estimates from readings. ${cautions.spring} ${cautions.manual} ${cautions.clearance} ${cautions.recheck} ${cautions.road}</p>
`,
    };
}

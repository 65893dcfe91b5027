import type { Sheet } from '../../src/report/blocks.js';
import { cautions } from '../../src/report/cautions.js';
import { fixed } from '../../src/report/format.js';
import { html, type Markup, type Piece } from '../../src/report/html.js';
import { marksText } from '../../src/report/plan.js';
import { directionWords } from '../../src/units/directionWords.js';
import { costliestLimit } from '../../src/units/limitWords.js';
import { plain } from '../../src/units/plain.js';
import { probabilityCell, probabilityWords } from '../../src/units/probabilityWords.js';
import { typeset } from '../../src/units/typeset.js';
import { shortened } from '../../src/units/visibleText.js';
import { pinSign, planHeight, planWidth, platePlan } from './plan.js';
import { type Rows, type Setting, targetsOf } from './rows.js';

const sides = { FL: 'Left', FR: 'Right' } as const;
type Corner = keyof typeof sides;
const fronts = ['FL', 'FR'] as const;

/** Longer names would push the rest off the sheet. */
const name = (text: string) => shortened(text, 60);

/** `−1.2 ±0.15`; null where the target does not name the angle. */
function aimText(target: number | null, tol: number | null): string | null {
    if (target === null) return null;
    const text = plain(target, 2).replace('-', '−');
    return tol === null ? text : `${text} ±${plain(tol, 2)}`;
}

function targetText(row: Setting): string {
    const cross = (['camber', 'caster'] as const).flatMap((angle) => {
        const limit = row[`cross_${angle}_max_deg`];
        return limit === null ? [] : [`${angle} ${plain(limit, 2)}`];
    });
    const angles = (['camber', 'caster', 'toe'] as const).flatMap((angle) => {
        const aim = aimText(row[`target_${angle}_deg`], row[`${angle}_tol_deg`]);
        return aim === null ? [] : [`${angle} ${aim}`];
    });
    return [...angles, ...(cross.length === 0 ? [] : [`left − right within: ${cross.join(', ')}`])]
        .map((part) => part.replaceAll(' ', '\u00a0'))
        .join('\u00a0· ');
}

const small = (text: string) => html` <span>${text}</span>`;
const interval = (low: number | null, high: number | null) =>
    html` <span class="to">${fixed(low, 2)} to ${fixed(high, 2)}</span>`;

function expectedCell(row: Setting, angle: 'camber' | 'caster'): Piece {
    const value = row[`${angle}_deg`];
    if (value === null) return '–';
    return html`<b>${fixed(value, 2)}</b>${interval(row[`${angle}_low_deg`], row[`${angle}_high_deg`])}`;
}

function markCell(row: Setting): Piece {
    const distance = Math.hypot(row.move_out_mm, row.move_aft_mm);
    const way = directionWords(row.move_out_mm, row.move_aft_mm).replace(' and ', ', ');
    const clocked = row.same_clocking ? '' : `${row.plate_hand} plate in index ${row.plate_index}; `;
    const move = row.stay ? 'stays' : `${plain(distance, 1)} mm ${way}`;
    return html`<b class="big">${marksText(row.mark_1, row.mark_2)}</b>${small(`${clocked}${move}${row.reachable ? '' : '; short of the target'}`)}`;
}

/** Whether what the tie rods have to add is known. */
function knowsToe(row: Setting): boolean {
    const toTarget = row.target_toe_deg === null || row.present_toe_deg !== null;
    return toTarget && (row.toe_basis === 'own' || row.stay);
}

const signedTurn = (value: number, digits: number) =>
    `${value > 0 && Number(value.toFixed(digits)) !== 0 ? '+' : ''}${fixed(value, digits)}`;

function addToeCell(row: Setting): Piece {
    if (!knowsToe(row)) return 'read it, then set it';
    return html`<b>${signedTurn(row.toe_put_back_deg, 2)}</b>${interval(row.toe_put_back_low_deg, row.toe_put_back_high_deg)}`;
}

function turnCell(row: Setting): Piece {
    if (!knowsToe(row)) return '–';
    return html`<b>${signedTurn(row.toe_put_back_turns!, 2)}</b> turns`;
}

/** What the tie rods are set to: the toe of the target, or the present one where it names none. */
function finalToeCell(row: Setting): Piece {
    if (row.target_toe_deg !== null) return html`<b>${aimText(row.target_toe_deg, row.toe_tol_deg)}</b>`;
    return row.present_toe_deg === null
        ? '–'
        : html`<b>${fixed(row.present_toe_deg, 2)}</b>${small('as it is')}`;
}

function chanceCell(rows: readonly Setting[]): Piece {
    const { p_both } = rows[0]!;
    const costs = typeset(costliestLimit(rows, p_both)).replace(
        'The limit that costs most: ',
        'costs most: ',
    );
    return html`<b>${probabilityCell(p_both)}</b>${costs === '' ? null : small(costs)}`;
}

/** The targets side by side, each with left and right; a side that was not read has one blank column for all of them. */
function settingsMarkup(settings: readonly Setting[], corners: readonly Corner[]): Markup {
    const targets = targetsOf(settings);
    const of = (target: string, corner?: Corner) =>
        settings.filter((row) => row.target === target && (corner ?? row.corner) === row.corner);
    const line = (title: string, cell: (row: Setting) => Piece) =>
        html`<tr><th scope="row">${title}${targets.flatMap((target) => corners.map((corner) => html`<td>${of(target, corner).map(cell)}`))}\n`;
    const turns = settings.some((row) => row.toe_put_back_turns !== null);
    const heads = targets.map(
        (target, place) =>
            html`<th scope="colgroup" colspan="${corners.length}"><svg viewBox="0 0 14 14" class="plan sign-of" aria-hidden="true">${pinSign(place + 1)}</svg>${name(target)}${small(targetText(of(target)[0]!))}`,
    );
    return html`<table class="settings"><thead><tr><td>${heads}<tr><td>${targets.flatMap(() => corners.map((corner) => html`<th scope="col">${sides[corner]}`))}<tbody>
${line('Set mark', markCell)}${line('Camber', (row) => expectedCell(row, 'camber'))}${line('Caster', (row) => expectedCell(row, 'caster'))}${line('Add toe', addToeCell)}${turns ? line('Tie rod', turnCell) : null}${line('Final toe', finalToeCell)}${line('Chance', (row) => probabilityCell(row.p_in_tolerance))}<tr><th scope="row">Whole car${targets.map((target) => html`<td class="wrapped" colspan="${corners.length}">${chanceCell(of(target))}`)}
</table>
`;
}

function toeWords(rows: readonly Setting[]): string {
    if (!rows.some(knowsToe)) {
        return 'What to add to toe is not known here: read toe after moving the plates, and set it last.';
    }
    const second = rows.filter((row) => row.p_one_toe !== null);
    const p = Math.min(...second.map((row) => row.p_one_toe!));
    const serves =
        p >= 0.9
            ? 'serves both targets'
            : p > 0.1
              ? 'may serve both targets'
              : 'does not serve both targets: set it at each change';
    const turned = rows.some((row) => row.toe_put_back_turns !== null)
        ? ' Turns: + is towards toe-in, a longer rod behind the axle, a shorter one ahead of it.'
        : '';
    return `Toe is per wheel, + is toe-in: set it last, once the plates have moved.${turned}${second.length === 0 ? '' : ` One toe setting ${serves} (probability ${probabilityWords(p)}).`}`;
}

/** What was read last, and room for what was found, what was left, and who set and who checked it. */
function recordMarkup(settings: readonly Setting[]): Markup {
    const heads = ['mark', 'camber', 'caster', 'toe'];
    const blank = (title: string) =>
        html`<tr><th scope="row">${title}${fronts.flatMap(() => heads.map(() => html`<td>`))}\n`;
    const read = fronts.flatMap((corner) => {
        const row = settings.find((one) => one.corner === corner);
        if (row === undefined) return heads.map(() => '–');
        return [
            marksText(row.present_mark_1, row.present_mark_2),
            fixed(row.present_camber_deg, 2),
            fixed(row.present_caster_deg, 2),
            fixed(row.present_toe_deg, 2),
        ];
    });
    return html`<table class="record"><thead><tr><td>${fronts.map((corner) => html`<th scope="colgroup" colspan="${heads.length}">${sides[corner]}`)}<tr><td>${fronts.flatMap(() => heads.map((head) => html`<th scope="col">${head}`))}<tbody>
<tr><th scope="row">As read${read.map((text) => html`<td>${text}`)}
${blank('On arrival')}${blank('On leaving')}</table>
<p class="sign-here"><span>Target set</span><span>Date</span><span>Set by</span><span>Checked by</span></p>
`;
}

/** Plan view of one tower, with what sits in it above. */
function towerMarkup(rows: readonly Setting[], slots: Rows['slots'], corner: Corner): Markup {
    const first = rows[0];
    if (first === undefined) {
        return html`<div class="tower"><h4>${sides[corner]}</h4><p>Not read on a plate yet: nothing can be said of this side.</p></div>`;
    }
    const plate = `${first.plate_hand} plate${first.plate_index === null ? '' : `, index ${first.plate_index}`}`;
    return html`<div class="tower"><h4>${sides[corner]} <span>${plate}</span></h4><svg class="plan" viewBox="0 0 ${planWidth} ${planHeight}" role="img" aria-label="Plan view of the ${sides[corner].toLowerCase()} strut tower: the plate, with its pointer now and at each target.">${platePlan(
        rows,
        slots.filter((point) => point.corner === corner),
    )}</svg></div>`;
}

/** The card of one car. */
export function sheet(rows: Rows, vehicle: string): Sheet {
    const settings = rows.settings.filter((row) => row.vehicle === vehicle);
    const slots = rows.slots.filter((point) => point.vehicle === vehicle);
    const first = settings[0]!;
    const corners = fronts.filter((corner) => settings.some((row) => row.corner === corner));
    const kits = [...new Set(settings.map((row) => row.kit))].map(name).join(', ');
    const towers = fronts.map((corner) =>
        towerMarkup(
            settings.filter((row) => row.corner === corner),
            slots,
            corner,
        ),
    );
    return {
        kind: 'sheet',
        title: `Setting card of ${vehicle}`,
        keys: { vehicle: [vehicle] },
        body: html`<header><h3>${name(vehicle)}</h3><p>${name(first.chassis ?? 'chassis not named')}, ${kits}<br>as read ${first.read_on ?? 'on an unknown day'}</p></header>
<div class="towers">${towers}</div>
${settingsMarkup(settings, corners)}<p class="toe">Open sign: as it stands. All in degrees: what is to be expected, small how far the true angle may be off it (95 %). Chance: all within tolerance. ${toeWords(settings)}</p>
${recordMarkup(settings)}<p class="caution">Estimates from readings. ${cautions.spring} ${cautions.manual} ${cautions.clearance} ${cautions.recheck} ${cautions.road}</p>
`,
    };
}

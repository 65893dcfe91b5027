import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, percent } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { round } from '../../src/report/plan.js';
import { slotsOf } from '../../src/report/whatIf/slots.js';
import { kitFor } from '../../src/report/whatIf/words.js';
import { shortened } from '../../src/units/visibleText.js';
import { bestRows, groupRows, type Range, type Rows } from './rows.js';
import { whatIfData } from './whatIf.js';

/** Rows and columns of the matrix. */
const [rowCount, kitCount] = [16, 4];

interface Layout {
    width: number;
    label: number;
    rowHeight: number;
    fontSize: number;
    /** Room for the share in figures. */
    figure: number;
    /** Characters of a name. */
    name: number;
}

const layouts: Record<'wide' | 'narrow', Layout> = {
    wide: { width: 760, label: 136, rowHeight: 21, fontSize: 12.5, figure: 46, name: 20 },
    narrow: { width: 358, label: 92, rowHeight: 24, fontSize: 10.5, figure: 36, name: 16 },
};

/** Height of the plates above the matrix. */
const head = 96;

/** The slots of a kit in the tower, own hand solid and other hand dashed, on one scale for all kits. */
function plate(rows: Rows, kit: string, centre: readonly [number, number], most_mm: number): Markup | null {
    const found =
        kitFor(whatIfData(rows).kits, kit, groupRows(rows)[0]!.chassis) ??
        whatIfData(rows).kits.find((one) => one.kit === kit);
    if (found === undefined) return null;
    const [cx, cy] = centre;
    const scale = 28 / most_mm;
    const { half_mm, side_mm } = found.design;
    const lines = slotsOf(found.design)
        .filter(({ own }) => own)
        .map(({ middle, along }) => {
            const from = [middle.out - along.out * half_mm, middle.aft - along.aft * half_mm];
            const to = [middle.out + along.out * half_mm, middle.aft + along.aft * half_mm];
            const at = ([out, aft]: number[]) => `${round(cx + out! * scale)},${round(cy + aft! * scale)}`;
            return `M${at(from)}L${at(to)}`;
        });
    return html`<circle cx="${cx}" cy="${cy}" r="32" fill="var(--raised)" stroke="${paint.muted}"/><path d="M${cx},${cy - 33}l-4,-7h8z" fill="${paint.ink}"/><path d="${lines.join('')}" stroke="${paint.muted}" stroke-opacity="0.65" stroke-width="${round(Math.max(4, 2 * side_mm * scale))}" stroke-linecap="${side_mm > 0 ? 'butt' : 'round'}"/><path d="M${cx - 4},${cy}h8M${cx},${cy - 4}v8" stroke="${paint.ink}"/>`;
}

/** A share with its interval on a line from none to all. */
function cell(row: Range, left: number, width: number, y: number, layout: Layout): Markup {
    const { fontSize, figure } = layout;
    const [from, to] = [left + figure, left + width - 12];
    const x = (share: number) => round(from + share * (to - from));
    const short = row.conf_high! < 0.95;
    const colour = short ? paint.second : paint.first;
    const at = x(row.share_reachable!);
    const mark = short
        ? html`<path d="M${at},${y - 5}l5,5l-5,5l-5,-5Z" fill="${colour}"/>`
        : html`<circle cx="${at}" cy="${y}" r="4" fill="${colour}"/>`;
    return html`<text x="${left + figure - 8}" y="${round(y + fontSize * 0.35)}" text-anchor="end" fill="${colour}"${short ? html` font-weight="650"` : null}>${percent(row.share_reachable)}</text><path d="M${from},${y}H${to}" stroke="${paint.rule}"/><path d="M${x(row.conf_low!)},${y}H${x(row.conf_high!)}" stroke="${colour}" stroke-width="2"/>${mark}`;
}

function drawn(groups: readonly Range[], kits: readonly string[], rows: Rows, layout: Layout): Markup {
    const { width, label, rowHeight, fontSize, name } = layout;
    const columnWidth = (width - label) / kits.length;
    const left = (place: number) => round(label + place * columnWidth);
    const height = head + rowHeight * groups.length + 26;
    const foot = height - 24;
    const best = bestRows(rows);
    const most_mm = Math.max(
        ...rows.plates.map((row) => Math.hypot(row.middle_out_mm, row.middle_aft_mm) + row.half_length_mm),
        1,
    );
    const heads = kits.map((kit, place) => {
        const middle = round(left(place) + columnWidth / 2);
        return html`${plate(rows, kit, [middle, 60], most_mm)}<text x="${middle}" y="14" text-anchor="middle" font-weight="650" fill="${paint.ink}">${shortened(kit, Math.floor(columnWidth / (fontSize * 0.85)))}</text>`;
    });
    const limits = kits.map((_, place) => {
        const [from, to] = [left(place) + layout.figure, left(place) + columnWidth - 12];
        const x = round(from + 0.95 * (to - from));
        return html`<path d="M${x},${head}V${foot}" stroke="${paint.ink}" stroke-dasharray="5,3"/><text x="${x}" y="${height - 8}" text-anchor="middle" fill="${paint.muted}">95 %</text>`;
    });
    const lines = groups.map((group, place) => {
        const y = round(head + rowHeight * (place + 0.5));
        const isFirst = groups[place - 1]?.chassis !== group.chassis;
        const rule =
            isFirst && place > 0
                ? html`<path d="M0,${y - rowHeight / 2}H${width}" stroke="${paint.rule}"/>`
                : null;
        const cells = kits.map((kit, column) => {
            const row = best.find((one) => one.group_rank === group.group_rank && one.kit === kit);
            return row === undefined || row.share_reachable === null
                ? null
                : cell(row, left(column), columnWidth, y, layout);
        });
        return html`${rule}<text x="0" y="${round(y + fontSize * 0.35)}" fill="${paint.ink}">${shortened(`${group.chassis} ${group.target}`, name)}</text>${cells}`;
    });
    return html`<svg viewBox="0 0 ${width} ${height}" fill="none" font-family="system-ui, sans-serif" font-size="${fontSize}">${heads}${limits}${lines}</svg>`;
}

/** Kits that the page judges, in its order. */
export function kitsOf(rows: Rows): string[] {
    const judged = bestRows(rows).flatMap(({ kit, share_reachable }) =>
        kit === null || share_reachable === null ? [] : kit,
    );
    return [...new Set(judged)];
}

/** One matrix of what each kit reaches on each chassis for each target, under the plates in the tower. */
export function picture(rows: Rows): Drawing[] {
    const kits = kitsOf(rows).slice(0, kitCount);
    const judged = groupRows(rows).filter(({ share_reachable }) => share_reachable !== null);
    const groups = judged
        .slice(0, rowCount)
        .sort((a, b) => a.chassis.localeCompare(b.chassis) || a.target.localeCompare(b.target));
    if (kits.length === 0 || groups.length === 0) return [];
    const cut =
        judged.length > groups.length
            ? `; ${groups.length} of ${counted(judged.length, 'chassis and target', 'chassis and targets')}`
            : '';
    return [
        {
            kind: 'drawing',
            title: `Corners that each kit reaches in its best index, with 95 % intervals; orange diamond: surely under 95 %${cut}`,
            alt: `Matrix of shares reached, kit by chassis and target: ${groups
                .map((group) => {
                    const own = bestRows(rows).filter(
                        (row) => row.group_rank === group.group_rank && kits.includes(row.kit ?? ''),
                    );
                    return `${group.chassis} ${group.target} ${own.map((row) => `${row.kit} ${percent(row.share_reachable)}`).join(', ')}`;
                })
                .join('; ')}.`,
            svg: drawn(groups, kits, rows, layouts.wide),
            narrow: drawn(groups, kits.slice(0, 3), rows, layouts.narrow),
        },
    ];
}

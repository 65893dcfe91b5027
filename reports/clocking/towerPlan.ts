import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { html, type Markup } from '../../src/report/html.js';
import { around, marksText, type PlanFrame, planPath, planPlace, round } from '../../src/report/plan.js';
import { cornerName } from '../../src/units/cornerName.js';
import { type AreaPoint, bestWay, type Rows, type Way } from './rows.js';

const cell = { width: 114, height: 124, radius: 44 };

/** The plate in one index: its reach, the ends of its scale, and the settings where it is the best way. */
function plateInIndex(frame: PlanFrame, points: readonly AreaPoint[], settings: readonly Way[]): Markup {
    const [cx, cy] = frame.centre;
    const { plate_hand, plate_index, mark_2 } = points[0]!;
    const chosen = settings.length > 0;
    const twoScales = mark_2 !== null;
    const slot = twoScales
        ? html`<path d="${planPath(frame, around(points.slice(0, 4)), true)}" fill="${paint.rule}" stroke="${paint.muted}"/>`
        : html`<path d="${planPath(frame, points)}" stroke="${paint.muted}" stroke-width="5" stroke-linecap="round"/>`;
    const labelled = twoScales ? [] : [points[0]!, points.at(-1)!];
    const labels = labelled.map((point, index) => {
        const [x, y] = planPlace(frame, point);
        const [ox, oy] = planPlace(frame, labelled[1 - index]!);
        const long = Math.hypot(x - ox, y - oy);
        return html`<text x="${round(x + ((x - ox) / long) * 10)}" y="${round(y + ((y - oy) / long) * 10 + 4)}">${marksText(point.mark_1, null)}</text>`;
    });
    const pins = settings.map((row) => {
        const [x, y] = planPlace(frame, { out_mm: row.offset_out_mm, aft_mm: row.offset_aft_mm });
        return html`<path d="M${x},${round(y - 5)}L${round(x + 5)},${y}L${x},${round(y + 5)}L${round(x - 5)},${y}Z" fill="${paint.ink}"/>`;
    });
    return html`<g><circle cx="${cx}" cy="${cy}" r="${cell.radius}" fill="none" stroke="${chosen ? paint.ink : paint.muted}" stroke-width="${chosen ? 2.5 : 1}"/>${slot}<path d="M${cx - 4},${cy}h8M${cx},${cy - 4}v8" stroke="${paint.ink}" stroke-width="1.6"/>${pins}<g font-family="system-ui, sans-serif" font-size="11" text-anchor="middle" fill="${paint.muted}">${labels}</g><text x="${cx}" y="${cy + cell.radius + 15}" text-anchor="middle" font-family="system-ui, sans-serif" font-size="11" fill="${paint.ink}"${chosen ? html` font-weight="650"` : null}>${plate_hand}, index ${plate_index}</text></g>`;
}

/** Plan view of one strut tower with each plate in each index. */
export function towerPlan(rows: Rows, corner: 'FL' | 'FR'): Drawing {
    const points = rows.areas.filter((row) => row.corner === corner);
    const clockings = [...new Set(points.map((row) => row.clocking))];
    const reach = Math.max(...points.map(({ out_mm, aft_mm }) => Math.hypot(out_mm, aft_mm)), 1);
    const best = bestWay(rows).filter((row) => row.corner === corner);
    const cells = clockings.map((clocking, index) => {
        const own = points.filter((row) => row.clocking === clocking);
        const frame: PlanFrame = {
            side: corner === 'FL' ? 'left' : 'right',
            centre: [cell.width * ((index % 3) + 0.5), cell.height * Math.floor(index / 3) + cell.radius + 4],
            scale: (cell.radius - 20) / reach,
        };
        const settings = best.filter(
            (row) => row.plate_hand === own[0]!.plate_hand && row.plate_index === own[0]!.plate_index,
        );
        return plateInIndex(frame, own, settings);
    });
    const height = cell.height * Math.ceil(clockings.length / 3);
    const outboard = corner === 'FL' ? 'left' : 'right';
    return {
        kind: 'drawing',
        title: `The plates in the tower, ${cornerName(corner)}`,
        alt: `Plan views of the ${cornerName(corner)} strut tower with each plate in each index, front of the car up; the best way is drawn with a thick circle.`,
        svg: html`<svg viewBox="0 0 ${cell.width * 3} ${height}" fill="none">${cells}</svg>`,
        caption: `Seen from above, front of the car up, outboard to the ${outboard}. Cross: bearing of the original mount. Thick circle and diamonds: the best way and its settings.`,
    };
}

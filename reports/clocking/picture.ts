import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { fixed } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { marksText, type PlanFrame } from '../../src/report/plan.js';
import { pinMark, towerMarkup } from '../../src/report/tower.js';
import { capital } from '../../src/units/capital.js';
import { cornerName } from '../../src/units/cornerName.js';
import { type AreaPoint, bestWay, cornersOf, type Rows, subjectWords, type Way } from './rows.js';

/** By how far plate `hand` is turned from index 1 to `points`, rad from the front towards outboard. */
function turnOf(first: readonly AreaPoint[], points: readonly AreaPoint[]): number {
    const size = ({ out_mm, aft_mm }: AreaPoint) => Math.hypot(out_mm, aft_mm);
    const far = first.reduce((most, point, place) => (size(point) > size(first[most]!) ? place : most), 0);
    const [from, to] = [first[far]!, points[far]!];
    const turn = Math.atan2(to.aft_mm, to.out_mm) - Math.atan2(from.aft_mm, from.out_mm);
    return (turn + 4 * Math.PI) % (2 * Math.PI);
}

function cornerMarkup(rows: Rows, corner: 'FL' | 'FR', left: number, width: number): Markup {
    const ways = bestWay(rows).filter((row) => row.corner === corner);
    const { plate_hand, plate_index } = ways[0]!;
    const isWide = width > 250;
    const radius = isWide ? 132 : 80;
    const fontSize = isWide ? 13 : 10.5;
    const ofHand = rows.areas.filter((row) => row.corner === corner && row.plate_hand === plate_hand);
    const indices = [...new Set(ofHand.map((row) => row.plate_index))].sort((a, b) => a - b);
    const inIndex = (index: number) => ofHand.filter((row) => row.plate_index === index);
    const marks = inIndex(plate_index);
    const reach = Math.max(...marks.map(({ out_mm, aft_mm }) => Math.hypot(out_mm, aft_mm)), 1);
    const frame: PlanFrame = {
        side: corner === 'FL' ? 'left' : 'right',
        centre: [left + width / 2, radius + (isWide ? 62 : 72)],
        scale: (radius * 0.5) / reach,
    };
    const tower = towerMarkup({
        radius,
        frame,
        marks,
        turns: indices.map((index) => turnOf(inIndex(indices[0]!), inIndex(index))),
        turn: indices.indexOf(plate_index),
        pins: ways.map((row) => ({
            out_mm: row.offset_out_mm,
            aft_mm: row.offset_aft_mm,
            label: isWide
                ? `${shortName(row.target)} ${marksText(row.mark_1, row.mark_2)}`
                : marksText(row.mark_1, row.mark_2),
        })),
        fontSize,
    });
    const middle = left + width / 2;
    const foot = frame.centre[1] + radius + fontSize * 1.2 + 8;
    const lines = ways.map((row, place) => {
        const y = foot + place * fontSize * (isWide ? 1.7 : 2.9);
        const words = settingWords(row);
        const from = isWide ? middle - 182 : left + 6;
        return html`${pinMark(place, [from + 6, y - fontSize * 0.35], isWide ? 5 : 4)}<text x="${from + 18}" y="${y}" fill="${paint.ink}">${isWide ? words.join(': ') : words[0]!}</text>${isWide ? null : html`<text x="${from + 18}" y="${y + fontSize * 1.25}" fill="${paint.muted}">${words[1]!}</text>`}`;
    });
    const [name, plate] = [capital(cornerName(corner)), `${plate_hand} plate, index ${plate_index}`];
    const heads = isWide ? [`${name}: ${plate}`] : [name, plate];
    return html`<g font-weight="650" text-anchor="middle" fill="${paint.ink}" font-size="${isWide ? 15 : 12}">${heads.map((head, line) => html`<text x="${middle}" y="${14 + 15 * line}">${head}</text>`)}</g>${tower}${lines}`;
}

const shortName = (name: string) => (name.length > 8 ? `${name.slice(0, 7)}…` : name);

function settingWords(row: Way): [string, string] {
    const angles = [
        row.camber_deg === null ? [] : [`camber ${fixed(row.camber_deg, 2)}°`],
        row.caster_deg === null ? [] : [`caster ${fixed(row.caster_deg, 2)}°`],
    ].flat();
    return [
        `${shortName(row.target)} at ${row.mark_2 === null ? 'mark ' : ''}${marksText(row.mark_1, row.mark_2)}`,
        angles.join(', '),
    ];
}

function drawn(rows: Rows, width: number): Markup {
    const corners = cornersOf(rows);
    const targets = new Set(bestWay(rows).map((row) => row.target)).size;
    const height = width > 500 ? 350 + 22 * targets : 254 + 31 * targets;
    const cell = width / 2;
    const left = corners.length === 1 ? cell / 2 : 0;
    return html`<svg viewBox="0 0 ${width} ${height}" fill="none" font-family="system-ui, sans-serif" font-size="${width > 500 ? 13 : 10.5}">${corners.map((corner, place) => cornerMarkup(rows, corner, left + place * cell, cell))}</svg>`;
}

/** Both towers from above with the plates of the best way, and the marks of each target. */
export function picture(rows: Rows): Drawing[] {
    if (rows.ways.length === 0) return [];
    const first = bestWay(rows)[0]!;
    return [
        {
            kind: 'drawing',
            title: `${first.kit} on ${subjectWords(rows)}, seen from above; the cross is the bearing of the original mount`,
            alt: `Plan views of both strut towers, front of the car up, with the plate of the best way in each and its marks: ${bestWay(
                rows,
            )
                .map((row) => `${cornerName(row.corner)} ${settingWords(row).join(', ')}`)
                .join('; ')}.`,
            svg: drawn(rows, 760),
            narrow: drawn(rows, 358),
        },
    ];
}

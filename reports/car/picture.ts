import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { fixed } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import type { PlanFrame } from '../../src/report/plan.js';
import { pinMark, type TowerPin, towerMarkup } from '../../src/report/tower.js';
import { capital } from '../../src/units/capital.js';
import { cornerName } from '../../src/units/cornerName.js';
import { shortened } from '../../src/units/visibleText.js';
import { fronts, markOf, present, type Rows, type State, settingsOf } from './rows.js';

interface Pin extends TowerPin {
    words: string;
}

const angles = (row: State) =>
    [
        row.camber_deg === null ? [] : [`camber ${fixed(row.camber_deg, 2)}°`],
        row.caster_deg === null ? [] : [`caster ${fixed(row.caster_deg, 2)}°`],
    ]
        .flat()
        .join(', ');

/** Where the bearing of a front is, and where it was left for other targets in the same plate. */
function pinsOf(rows: Rows, vehicle: string, front: 'FL' | 'FR'): Pin[] {
    const now = present(rows, vehicle, front);
    if (now === undefined) return [];
    const pin = (row: State, name: string): Pin[] =>
        row.offset_out_mm === null || row.offset_aft_mm === null
            ? []
            : [
                  {
                      out_mm: row.offset_out_mm,
                      aft_mm: row.offset_aft_mm,
                      label: row.mark_1 === null ? name : `${name} ${markOf(rows, row)}`,
                      words: `${name}, mark ${markOf(rows, row)}: ${angles(row)}`,
                  },
              ];
    const others = new Map<string, State>();
    for (const { target, sides } of settingsOf(rows, vehicle)) {
        const row = sides[front];
        if (
            row !== undefined &&
            target !== null &&
            !others.has(target) &&
            row.kit === now.kit &&
            row.plate_index === now.plate_index &&
            row.plate_hand === now.plate_hand &&
            markOf(rows, row) !== markOf(rows, now)
        )
            others.set(target, row);
    }
    return [
        ...pin(now, 'now'),
        ...[...others].slice(0, 2).flatMap(([target, row]) => pin(row, shortened(target, 9))),
    ];
}

function cornerMarkup(
    rows: Rows,
    vehicle: string,
    front: 'FL' | 'FR',
    left: number,
    width: number,
): Markup | null {
    const now = present(rows, vehicle, front);
    if (now === undefined) return null;
    const isWide = width > 250;
    const [radius, fontSize] = isWide ? [112, 13] : [78, 11.5];
    const middle = left + width / 2;
    const marks = rows.scales.filter((row) => row.vehicle === vehicle && row.corner === front);
    const pins = pinsOf(rows, vehicle, front);
    const reach = Math.max(...[...marks, ...pins].map(({ out_mm, aft_mm }) => Math.hypot(out_mm, aft_mm)), 4);
    const [first] = marks;
    const step = ((first?.index_step_deg ?? 120) * Math.PI) / 180;
    const turns = Array.from(
        { length: first?.index_count ?? 3 },
        (_, index) => (first?.other_hand ? -1 : 1) * index * step,
    );
    const frame: PlanFrame = {
        side: front === 'FL' ? 'left' : 'right',
        centre: [middle, radius + (isWide ? 62 : 72)],
        scale: (radius * 0.5) / reach,
    };
    const plate =
        now.kit === null
            ? 'original mount'
            : `${shortened(now.kit, isWide ? 9 : 12)}${now.plate_hand === null || !isWide ? '' : `, ${now.plate_hand} plate`}${now.plate_index === null ? '' : `, index ${now.plate_index}`}`;
    const name = capital(cornerName(front));
    const heads = isWide ? [`${name}: ${plate}`] : [name, plate];
    const tower = towerMarkup({
        radius,
        frame,
        marks,
        turns,
        turn: first === undefined ? null : first.plate_index - 1,
        pins,
        fontSize,
    });
    const foot = frame.centre[1] + radius + fontSize * 1.2 + 8;
    const from = isWide ? middle - 165 : left + 4;
    const lines = pins.map((pin, place) => {
        const y = foot + place * fontSize * (isWide ? 1.7 : 4.1);
        const [what, read] = pin.words.split(/: (.*)/) as [string, string];
        return html`${pinMark(place, [from + 6, y - fontSize * 0.35], isWide ? 5 : 4)}<text x="${from + 18}" y="${y}" fill="${paint.ink}">${isWide ? pin.words : what}</text>${isWide ? null : read.split(', ').map((angle, line) => html`<text x="${from + 18}" y="${y + fontSize * 1.25 * (line + 1)}" fill="${paint.muted}">${angle}</text>`)}`;
    });
    return html`<g font-weight="650" text-anchor="middle" fill="${paint.ink}" font-size="${isWide ? 15 : 12}">${heads.map((head, line) => html`<text x="${middle}" y="${14 + 15 * line}">${head}</text>`)}</g>${tower}${lines}`;
}

function drawn(rows: Rows, vehicle: string, width: number): Markup {
    const read = fronts.filter((front) => present(rows, vehicle, front) !== undefined);
    const most = Math.max(1, ...read.map((front) => pinsOf(rows, vehicle, front).length));
    const height = width > 500 ? 306 + 22 * most : 248 + 48 * most;
    const cell = width / 2;
    const left = read.length === 1 ? cell / 2 : 0;
    return html`<svg viewBox="0 0 ${width} ${height}" fill="none" font-family="system-ui, sans-serif" font-size="${width > 500 ? 13 : 11.5}">${read.map((front, place) => cornerMarkup(rows, vehicle, front, left + place * cell, cell))}</svg>`;
}

/** Both towers of a car from above: where the bearings are, and where they were left for other targets. */
export function towers(rows: Rows, vehicle: string, isPicture = false): Drawing {
    const small = drawn(rows, vehicle, 358);
    return {
        kind: 'drawing',
        title: `${vehicle} as last read, seen from above, front up; the cross is the bearing of the original mount`,
        alt: `Plan views of the strut towers of ${vehicle}: ${fronts
            .map(
                (front) =>
                    `${cornerName(front)} ${
                        pinsOf(rows, vehicle, front)
                            .map(({ words }) => words)
                            .join('; ') || 'not at a known place'
                    }`,
            )
            .join('; ')}.`,
        ...(isPicture ? { svg: drawn(rows, vehicle, 760), narrow: small } : { svg: small }),
    };
}

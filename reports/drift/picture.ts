import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed, whole } from '../../src/report/format.js';
import { html, type Markup } from '../../src/report/html.js';
import { type PlanFrame, planPlace, round } from '../../src/report/plan.js';
import { directionWords } from '../../src/units/directionWords.js';
import { isOpen } from '../../src/units/driftWords.js';
import { shortened } from '../../src/units/visibleText.js';
import { type Event, type Rows, vehiclesOf } from './rows.js';

/** Cars in the picture. */
const drawnCount = 6;

interface Layout {
    width: number;
    perRow: number;
    radius: number;
    fontSize: number;
    /** Height of one car. */
    height: number;
    /** Characters in a line of a car. */
    line: number;
}

const layouts: Record<'wide' | 'narrow', Layout> = {
    wide: { width: 760, perRow: 3, radius: 49, fontSize: 12, height: 196, line: 35 },
    narrow: { width: 358, perRow: 2, radius: 37, fontSize: 10.5, height: 162, line: 30 },
};

/** An arrow from the middle of the tower as the bearing slipped; thick and orange while it is open. */
function arrow(row: Event, frame: PlanFrame): Markup {
    const [x, y] = planPlace(frame, { out_mm: row.slip_out_mm!, aft_mm: row.slip_aft_mm ?? 0 });
    const [cx, cy] = frame.centre;
    const long = Math.hypot(x - cx, y - cy) || 1;
    const [ux, uy] = [(x - cx) / long, (y - cy) / long];
    const head = isOpen(row) ? 8 : 5;
    const corner = (side: number) =>
        `${round(x - ux * head + side * uy * head * 0.6)},${round(y - uy * head - side * ux * head * 0.6)}`;
    const colour = isOpen(row) ? paint.second : paint.first;
    return html`<path d="M${cx},${cy}L${round(x)},${round(y)}" stroke="${colour}" stroke-width="${isOpen(row) ? 3 : 1.3}"/><path d="M${round(x)},${round(y)}L${corner(1)}L${corner(-1)}Z" fill="${colour}"/>`;
}

function tower(
    events: readonly Event[],
    corner: 'FL' | 'FR',
    centre: readonly [number, number],
    layout: Layout,
    most_mm: number,
): Markup {
    const { radius, fontSize } = layout;
    const frame: PlanFrame = {
        side: corner === 'FL' ? 'left' : 'right',
        centre,
        scale: (radius - 4) / most_mm,
    };
    const [cx, cy] = centre;
    const own = events.filter((row) => row.corner === corner);
    const slips = own.filter((row) => row.verdict === 'plate_moved' && row.slip_out_mm !== null);
    const bent = own.filter((row) => row.verdict === 'bent');
    const bentMark =
        bent.length === 0
            ? null
            : html`<path d="M${cx},${cy + radius - 17}l6,11h-12z" fill="var(--paper)" stroke="${paint.second}" stroke-width="2"/>`;
    return html`<circle cx="${cx}" cy="${cy}" r="${radius}" fill="var(--raised)" stroke="${own.length === 0 ? paint.rule : paint.muted}"/><circle cx="${cx}" cy="${cy}" r="${round(radius - 4) / 2}" fill="none" stroke="${paint.rule}"/><path d="M${cx},${cy - radius - 1}l-4,-7h8z" fill="${paint.ink}"/><path d="M${cx - 4},${cy}h8M${cx},${cy - 4}v8" stroke="${paint.ink}"/>${[...slips].reverse().map((row) => arrow(row, frame))}${bentMark}<text x="${cx}" y="${cy + radius + fontSize + 3}" text-anchor="middle" fill="${paint.muted}">${corner === 'FL' ? 'left' : 'right'}</text>`;
}

const sideName = { FL: 'left', FR: 'right' } as const;

const shortWay: Record<string, string> = {
    outboard: 'out',
    inboard: 'in',
    rearward: 'aft',
    forward: 'forward',
    'outboard and rearward': 'out, aft',
    'outboard and forward': 'out, forward',
    'inboard and rearward': 'in, aft',
    'inboard and forward': 'in, forward',
};

/** The newest of a car that did not hold for certain, in a line of `most` characters; without its day where that has no room. */
function newestWords(events: readonly Event[], most = Number.POSITIVE_INFINITY): string {
    const [newest] = events
        .filter((row) => row.verdict !== 'held')
        .sort((a, b) => Number(isOpen(b)) - Number(isOpen(a)));
    if (newest === undefined) return 'all held';
    const side = sideName[newest.corner];
    const what =
        newest.verdict === 'plate_moved' && newest.slip_out_mm !== null
            ? `${fixed(Math.hypot(newest.slip_out_mm, newest.slip_aft_mm ?? 0), 1)} mm ${shortWay[directionWords(newest.slip_out_mm, newest.slip_aft_mm ?? 0)]}`
            : newest.drawn_as;
    const dated = `${newest.day === null ? '' : `${newest.day}: `}${side} ${what}`;
    return dated.length <= most ? dated : shortened(`${side} ${what}`, most);
}

function carMarkup(rows: Rows, vehicle: string, place: number, layout: Layout, most_mm: number): Markup {
    const { width, perRow, radius, fontSize, height, line } = layout;
    const events = rows.events.filter((row) => row.vehicle === vehicle);
    const cell = width / perRow;
    const left = (place % perRow) * cell;
    const top = Math.floor(place / perRow) * height;
    const middle = left + cell / 2;
    const y = top + fontSize * 2 + radius + 14;
    const count = (verdict: Event['verdict']) => events.filter((row) => row.verdict === verdict).length;
    const parts = [
        `${whole(count('plate_moved'))} of ${whole(events.length)} slipped`,
        ...(count('bent') === 0 ? [] : [`${whole(count('bent'))} bent`]),
        ...(count('other') === 0 ? [] : [`${whole(count('other'))} other`]),
    ];
    const open = events.filter((row) => isOpen(row)).length;
    const foot = y + radius + fontSize * 2.6 + 2;
    const centre = (side: number): [number, number] => [round(middle + side * (radius + 6)), y];
    return html`<text x="${middle}" y="${top + fontSize + 2}" text-anchor="middle" font-weight="650" font-size="${fontSize + 1.5}" fill="${paint.ink}">${shortened(vehicle, line - 8)}</text>${tower(events, 'FL', centre(-1), layout, most_mm)}${tower(events, 'FR', centre(1), layout, most_mm)}<text x="${middle}" y="${round(foot)}" text-anchor="middle" fill="${paint.ink}">${parts.join(', ')}</text><text x="${middle}" y="${round(foot + fontSize * 1.35)}" text-anchor="middle" fill="${open > 0 ? paint.second : paint.muted}"${open > 0 ? html` font-weight="650"` : null}>${open > 0 ? `open: ${newestWords(events, line - 10)}` : newestWords(events, line)}</text>`;
}

function drawn(rows: Rows, cars: readonly string[], most_mm: number, layout: Layout): Markup {
    const { width, perRow, fontSize, height } = layout;
    const lines = Math.ceil(cars.length / perRow);
    return html`<svg viewBox="0 0 ${width} ${lines * height}" fill="none" font-family="system-ui, sans-serif" font-size="${fontSize}">${cars.map((vehicle, place) => carMarkup(rows, vehicle, place, layout, most_mm))}</svg>`;
}

/** Strut towers of the cars with most that moved, from above: each slip as an arrow, on one scale. */
export function picture(rows: Rows): Drawing[] {
    const cars = vehiclesOf(rows.events).slice(0, drawnCount);
    if (cars.length === 0) return [];
    const sizes = rows.events
        .filter((row) => cars.includes(row.vehicle) && row.verdict === 'plate_moved')
        .map((row) => Math.hypot(row.slip_out_mm ?? 0, row.slip_aft_mm ?? 0));
    const most_mm = Math.ceil(Math.max(2, ...sizes));
    const all =
        rows.cars.length > cars.length
            ? `, the ${cars.length} of ${counted(rows.cars.length, 'car')} with most that moved`
            : '';
    return [
        {
            kind: 'drawing',
            title: `How the bearings slipped, seen from above, front up${all}; the rim is ${most_mm} mm, the inner ring ${fixed(most_mm / 2, most_mm % 2 === 0 ? 0 : 1)} mm; triangle: looked bent`,
            alt: `Both strut towers of each car from above, each slip an arrow from the middle: ${cars
                .map((vehicle) => {
                    const events = rows.events.filter((row) => row.vehicle === vehicle);
                    return `${vehicle}, ${events.filter((row) => row.verdict === 'plate_moved').length} of ${events.length}, newest ${newestWords(events)}`;
                })
                .join('; ')}.`,
            svg: drawn(rows, cars, most_mm, layouts.wide),
            narrow: drawn(rows, cars, most_mm, layouts.narrow),
        },
    ];
}

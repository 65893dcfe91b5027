import { paint } from '../chart/theme.js';
import { clipped } from './clipped.js';
import type { Design, Field, Judged, Vector } from './model.js';
import type { Reach } from './reachOf.js';
import type { Slot } from './slots.js';
import { zonotope } from './zonotope.js';

const size = 344;
/** Room for the labels of the axes, px. */
const margin = { left: 34, bottom: 30, top: 8, right: 8 };
const plot = { width: size - margin.left - margin.right, height: size - margin.top - margin.bottom };

const round = (value: number) => Math.round(value * 10) / 10;

/** Half of what the picture shows, mm: the cloud without its farthest hundredth, and the slots. */
export function frameOf(field: Field, design: Design): number {
    const far = [...field.out, ...field.aft].map(Math.abs).sort((a, b) => a - b);
    const cloud = far[Math.floor(0.99 * (far.length - 1))] ?? 0;
    const slots = Math.hypot(design.middle.out, design.middle.aft) + design.half_mm;
    return 5 * Math.ceil((Math.max(cloud, slots, 8) + 1) / 5);
}

/** Half-edges of the region within tolerance about a need; an angle that is not judged leaves it open. */
function toleranceEdges(camber: Judged, caster: Judged, open: number): Vector[] {
    const det = camber.slope.out * caster.slope.aft - camber.slope.aft * caster.slope.out;
    const camberTol = camber.tol ?? Math.abs(det) * open * 20;
    const casterTol = caster.tol ?? Math.abs(det) * open * 20;
    return [
        { out: (camberTol * caster.slope.aft) / det, aft: (-camberTol * caster.slope.out) / det },
        { out: (-casterTol * camber.slope.aft) / det, aft: (casterTol * camber.slope.out) / det },
    ];
}

/**
 * Plan view as SVG markup: needed offsets over the areas that the plate reaches, outboard to the right, rearward down. Filled
 * points are reached, crosses are not; what lies beyond `frame` mm is left out. Numbers only, so it may be put into a page as it is.
 */
export function reachDrawing(field: Field, design: Design, reach: Reach, frame: number): string {
    const scale = plot.width / (2 * frame);
    const x = (out: number) => round(margin.left + plot.width / 2 + out * scale);
    const y = (aft: number) => round(margin.top + plot.height / 2 + aft * scale);
    const edges = toleranceEdges(field.camber, field.caster, frame);
    const path = (points: readonly Vector[]) =>
        clipped(points, frame)
            .map(({ out, aft }, place) => `${place === 0 ? 'M' : 'L'}${x(out)},${y(aft)}`)
            .join('');
    const area = ({ middle, along, side, own }: Slot) => {
        const half = { out: along.out * design.half_mm, aft: along.aft * design.half_mm };
        const fill = own ? `fill="${paint.first}" fill-opacity="0.1"` : 'fill="none"';
        const stroke = own ? paint.first : paint.second;
        const region = `<path d="${path(zonotope(middle, [half, side, ...edges]))}Z" ${fill} stroke="${stroke}" stroke-width="1"${own ? '' : ' stroke-dasharray="4,3"'}/>`;
        const ends = path(zonotope(middle, [half, side]));
        return `${region}<path d="${ends}Z" fill="none" stroke="${stroke}" stroke-width="3" stroke-linejoin="round"/>`;
    };
    const step = frame > 15 ? 10 : 5;
    const steps = Array.from(
        { length: 2 * Math.floor(frame / step) + 1 },
        (_, i) => (i - Math.floor(frame / step)) * step,
    );
    const grid = steps.map(
        (mm) =>
            `<path d="M${x(mm)},${margin.top}V${margin.top + plot.height}M${margin.left},${y(mm)}H${margin.left + plot.width}" stroke="${paint.rule}"/>`,
    );
    const label = (mm: number) => String(mm).replace('-', '−');
    const ticks = steps.map(
        (mm) =>
            `<text x="${x(mm)}" y="${size - 16}" text-anchor="middle">${label(mm)}</text><text x="${margin.left - 6}" y="${y(mm) + 4}" text-anchor="end">${label(mm)}</text>`,
    );
    const dots = field.out.map((out, corner) => {
        const aft = field.aft[corner]!;
        if (Math.max(Math.abs(out), Math.abs(aft)) > frame) return '';
        return reach.reached[corner]
            ? `<circle cx="${x(out)}" cy="${y(aft)}" r="2.4" fill="${paint.ink}" fill-opacity="0.75"/>`
            : `<path d="M${round(x(out) - 2.6)},${round(y(aft) - 2.6)}l5.2,5.2m0,-5.2l-5.2,5.2" stroke="${paint.second}" stroke-width="1.5"/>`;
    });
    const slots = [...reach.slots].reverse().map(({ slot }) => area(slot));
    const zero = `<path d="M${x(0) - 6},${y(0)}h12M${x(0)},${y(0) - 6}v12" stroke="${paint.ink}" stroke-width="1.6"/>`;
    return `<svg viewBox="0 0 ${size} ${size}" font-family="system-ui, sans-serif" font-size="11" fill="${paint.muted}"><g fill="none">${grid.join('')}</g><g>${ticks.join('')}<text x="${margin.left + plot.width / 2}" y="${size - 2}" text-anchor="middle">outboard, mm</text><text transform="translate(10,${margin.top + plot.height / 2}) rotate(-90)" text-anchor="middle">rearward, mm</text></g>${slots.join('')}${dots.join('')}${zero}</svg>`;
}

/** Paints of the page as CSS variables (see page.css): one set of plots serves light, dark and print. */
export const paint = {
    ink: 'var(--ink)',
    muted: 'var(--muted)',
    rule: 'var(--rule)',
    first: 'var(--first)',
    second: 'var(--second)',
    third: 'var(--third)',
} as const;

/** Width that plots are laid out for: one column on a phone, three on a desk. */
export const chartWidth = 344;
/** Width of the picture that a page opens with. */
export const pictureWidth = 760;

const font = 'system-ui, sans-serif';
const guide = { font, fontSize: 11, fill: paint.muted };

/** Vega-Lite configuration shared by all plots. */
export const chartConfig = {
    autosize: { type: 'fit', contains: 'padding' },
    background: 'transparent',
    padding: { left: 2, right: 8, top: 6, bottom: 2 },
    aria: false,
    font,
    view: { stroke: null },
    style: { 'guide-label': guide, 'guide-title': { ...guide, fontWeight: 'normal' } },
    axis: {
        gridColor: paint.rule,
        gridWidth: 1,
        domain: false,
        ticks: false,
        labelPadding: 6,
        titlePadding: 8,
        tickCount: 5,
        labelFlush: false,
    },
    // Fixed extents: text is measured otherwise in Node than in a browser, and the plot must not jump.
    axisY: { minExtent: 34, maxExtent: 34 },
} as const;

const pictureGuide = { ...guide, fontSize: 12 };

/** The same for the picture that a page opens with. */
export const pictureConfig = {
    ...chartConfig,
    style: { 'guide-label': pictureGuide, 'guide-title': { ...pictureGuide, fontWeight: 'normal' } },
} as const;

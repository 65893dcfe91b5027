/** Width of a character of a label, px, in the wider of usual fonts. */
const characterPx = 7.4;

/**
 * Axis of names, `extent` px wide: a longer name goes on in a second line from a blank, and what still is too long loses its middle, so
 * that a count behind it stays. Counts characters, since text is measured otherwise in Node than in a browser. Rows should be 28 px
 * apart.
 */
export function nameAxis(extent: number) {
    const most = Math.floor((extent - 6) / characterPx);
    const lines = `regexp('^(.{1,${most}}) (?:.*? )??(.{1,${most}})$')`;
    const whole = `length(datum.label) <= ${most}`;
    const broken = `split(replace(datum.label, ${lines}, '$1\\n$2'), '\\n')`;
    return {
        grid: false,
        minExtent: extent,
        maxExtent: extent,
        labelLimit: 0,
        labelLineHeight: 12,
        // The first of two lines stands on the middle of its row, the second under it.
        labelBaseline: { condition: { test: whole, value: 'middle' as const }, value: 'bottom' as const },
        labelExpr: `${whole} ? datum.label : test(${lines}, datum.label) ? ${broken} : truncate(datum.label, ${most})`,
    };
}

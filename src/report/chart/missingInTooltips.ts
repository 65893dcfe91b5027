import type { Spec } from 'vega';

/** Of a field that is missing Vega-Lite would tell `null`, or 0 where it has a number format. */
function told(signal: string): string {
    return signal
        .replace(/format\((datum\["[^"]+"\]), "[^"]*"\)/g, '$1 === null ? null : $&')
        .replace(/ : ""\+datum\["[^"]+"\]/g, ' : null');
}

/** Has the tooltips of a compiled plot give null for what is missing, in place; the page leaves such lines out. */
export function missingInTooltips(marks: Spec['marks']): void {
    for (const mark of marks ?? []) {
        if ('marks' in mark) missingInTooltips(mark.marks);
        for (const encoded of Object.values(mark.encode ?? {})) {
            const tooltip = (encoded as { tooltip?: { signal?: string } }).tooltip;
            if (typeof tooltip?.signal === 'string') tooltip.signal = told(tooltip.signal);
        }
    }
}

const leafGroup =
    /<g class="(mark-[^"]*)"([^>]*)>((?:<(?:path|line|circle)\b[^>]*\/>|<text\b[^>]*>[^<]*<\/text>)+)<\/g>/g;
const leaf = /<(?:path|line|circle|text)\b([^>]*?)\/?>/g;
const attribute = / (fill|stroke|stroke-[a-z]+|font-[a-z]+|text-anchor)="([^"]*)"/g;
const circle =
    /<path transform="translate\(([-\d.]+),([-\d.]+)\)" d="M([\d.]+),0A\3,\3,0,1,1,-\3,0A\3,\3,0,1,1,\3,0"/g;

/** Moves the inherited attributes that all leaves of a group share to the group. */
function hoist(_: string, classes: string, rest: string, leaves: string): string {
    const texts = [...leaves.matchAll(leaf)].map((match) => match[1]!);
    const shared = [...texts[0]!.matchAll(attribute)]
        .map((match) => match[0])
        .filter((text) => texts.every((other) => `${other} `.includes(`${text} `)));
    const bare = leaves.replace(leaf, (tag) => shared.reduce((text, one) => text.replace(one, ''), tag));
    return `<g class="${classes}"${rest}${shared.join('')}>${bare}</g>`;
}

function tidyTag(tag: string): string {
    return tag
        .replace(/ xmlns(:xlink)?="[^"]*"| version="1\.1"/g, '')
        .replace(/ (role="graphics-[a-z]+"|aria-roledescription="[^"]*"|aria-hidden="true"|opacity="1")/g, '')
        .replace(/-?\d+\.\d{3,}/g, (number) => String(Math.round(Number(number) * 100) / 100))
        .replace(circle, '<circle cx="$1" cy="$2" r="$3"');
}

/** An SVG of Vega's without what nobody sees, at hundredths of a pixel, and with shared attributes written once. */
export function tidySvg(svg: string): string {
    return svg
        .replace(/<path class="foreground"[^>]*display="none"\/>/g, '')
        .replace(/<path class="background"[^>]*d="M0,0h0v0h0Z"[^>]*\/>/g, '')
        .replace(/<text [^>]*opacity="0"[^>]*>[^<]*<\/text>/g, '')
        .replace(/<[^>]*>/g, tidyTag)
        .replace(leafGroup, hoist);
}

const escapes: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;' };
const escaped = (text: string) => text.replace(/[&<>]/g, (sign) => escapes[sign]!);

/** The size of a picture that gives its `viewBox` or width and height, px. */
export function sizeOf(svg: string): [width: number, height: number] {
    const open = /<svg[^>]*>/.exec(svg)![0];
    const box = /viewBox="[-\d.]+[ ,][-\d.]+[ ,]([\d.]+)[ ,]([\d.]+)"/.exec(open);
    const attribute = (name: string) => new RegExp(` ${name}="([\\d.]+)`).exec(open)?.[1];
    return [Number(box?.[1] ?? attribute('width')), Number(box?.[2] ?? attribute('height'))];
}

/** `text` with the colours behind `var(--name)`. */
export function painted(text: string, paints: Readonly<Record<string, string>>): string {
    return text.replace(/var\(--(\w+)\)/g, (whole, name) => paints[name] ?? whole);
}

/** A symbol of the plots as marks of SVG, 22 by 14 px, and what it means. */
export interface SavedKey {
    symbol: string;
    label: string;
}

/** `title` of a picture, behind that of the group that it stands in. */
export const savedTitle = (group: string, title: string) =>
    group === '' || title.includes(group) ? title : `${group}: ${title}`;

/** Width of a character of 12 px, px, in the wider of usual fonts: text is measured otherwise in Node than in a browser. */
const characterPx = 7.2;
const linePx = 17;
const edgePx = 8;

/** `text` in lines of at most `most` characters where words allow. */
function linesOf(text: string, most: number): string[] {
    const lines: string[] = [];
    for (const word of text.split(' ')) {
        const last = lines.at(-1);
        if (last !== undefined && last.length + word.length < most)
            lines[lines.length - 1] = `${last} ${word}`;
        else lines.push(word);
    }
    return lines;
}

const textAt = (x: number, y: number, text: string) =>
    `<text x="${x}" y="${y}" font-family="system-ui, sans-serif" font-size="12" fill="var(--ink)">${escaped(text)}</text>`;

/** Title above, and keys below, a picture `width` wide and `height` high: what is drawn, and the height of all. */
function lettered(title: string, keys: readonly SavedKey[], width: number, height: number) {
    const head = linesOf(title, Math.floor((width - 2 * edgePx) / characterPx));
    const top = edgePx + linePx * head.length;
    const parts = head.map((line, at) => textAt(edgePx, edgePx + linePx * at + 12, line));
    let [x, y] = [edgePx, top + height + 4];
    for (const { symbol, label } of keys) {
        const lines = linesOf(label, Math.floor((width - 2 * edgePx - 28) / characterPx));
        const wide = 28 + characterPx * Math.max(...lines.map((line) => line.length)) + 12;
        if (x > edgePx && x + wide > width) [x, y] = [edgePx, y + linePx];
        parts.push(`<g transform="translate(${x},${y})">${symbol}</g>`);
        for (const [at, line] of lines.entries()) parts.push(textAt(x + 28, y + 11 + linePx * at, line));
        x += wide;
        if (lines.length > 1) [x, y] = [edgePx, y + linePx * lines.length];
    }
    const foot = keys.length === 0 ? 0 : y + (x > edgePx ? linePx : 0) + 4 - top - height;
    return { parts: parts.join(''), top, whole: Math.ceil(top + height + foot) };
}

/**
 * A picture of a page as a file of its own: on its paper, under its title and above its `keys`, with the colours and the rules of the
 * style sheet that it needs, and its description for those who do not see it. Shared by the program and the script of the pages.
 */
export function standaloneSvg(
    svg: string,
    { title, alt }: { title: string; alt: string },
    keys: readonly SavedKey[],
    paints: Readonly<Record<string, string>>,
    rules: string,
): string {
    const [width, height] = sizeOf(svg);
    const head = /^.*?<svg([^>]*)>/s.exec(svg)!;
    const kept = head[1]!.replace(
        / (xmlns(:xlink)?|width|height|version|role|aria-[\w-]+|style)="[^"]*"/g,
        '',
    );
    const box = kept.includes('viewBox=') ? '' : ` viewBox="0 0 ${width} ${height}"`;
    // Pages carry this script: a whole tag in it would look like one of theirs.
    const tag = 'style';
    const style = rules === '' ? '' : `<${tag}>${rules}</${tag}>`;
    const { parts, top, whole } = lettered(title, keys, width, height);
    const size = (high: number) => `width="${width}" height="${high}"`;
    return painted(
        `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${size(whole)} viewBox="0 0 ${width} ${whole}"><title>${escaped(title)}</title><desc>${escaped(alt)}</desc>${style}<rect ${size(whole)} stroke="none" fill="var(--paper)"/>${parts}<svg y="${top}" ${size(height)}${box}${kept}>${svg.slice(head[0].length)}</svg>\n`,
        paints,
    );
}

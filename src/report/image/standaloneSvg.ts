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

/**
 * A picture of a page as a file of its own: on its paper, with the colours and the rules of the style sheet that it needs, and its title
 * and description for those who do not see it. Shared by the program and the script of the pages.
 */
export function standaloneSvg(
    svg: string,
    { title, alt }: { title: string; alt: string },
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
    return painted(
        `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="${width}" height="${height}"${box}${kept}><title>${escaped(title)}</title><desc>${escaped(alt)}</desc>${style}<rect width="${width}" height="${height}" stroke="none" fill="var(--paper)"/>${svg.slice(head[0].length)}\n`,
        paints,
    );
}

/** An element of an SVG as Vega writes it; texts stay escaped. */
export interface SvgNode {
    tag: string;
    attributes: Map<string, string>;
    children: (SvgNode | string)[];
}

const piece = /<(\/?)([A-Za-z]+)((?:\s+[\w:-]+="[^"]*")*)\s*(\/?)>|([^<]+)/g;
const attribute = /([\w:-]+)="([^"]*)"/g;

/** The root element of well-formed markup without comments. */
export function parseSvg(text: string): SvgNode {
    const top: SvgNode = { tag: '', attributes: new Map(), children: [] };
    const open = [top];
    for (const [, close, tag, attributes, empty, words] of text.matchAll(piece)) {
        if (words !== undefined) open.at(-1)!.children.push(words);
        else if (close) open.pop();
        else {
            const found = [...attributes!.matchAll(attribute)].map(
                ([, name, value]) => [name!, value!] as const,
            );
            const node: SvgNode = { tag: tag!, attributes: new Map(found), children: [] };
            open.at(-1)!.children.push(node);
            if (!empty) open.push(node);
        }
    }
    return top.children.find((child) => typeof child !== 'string')!;
}

/** Elements among the children. */
export function elements(node: SvgNode): SvgNode[] {
    return node.children.filter((child) => typeof child !== 'string');
}

export function writeSvg(node: SvgNode | string): string {
    if (typeof node === 'string') return node;
    const attributes = [...node.attributes].map(([name, value]) => ` ${name}="${value}"`).join('');
    const inner = node.children.map(writeSvg).join('');
    return inner === '' ? `<${node.tag}${attributes}/>` : `<${node.tag}${attributes}>${inner}</${node.tag}>`;
}

import { mergeMarks, shiftOf } from './mergeMarks.js';
import { elements, parseSvg, type SvgNode, writeSvg } from './svgTree.js';

const inherited = /^(fill|stroke|text-anchor|(stroke|font)-[a-z]+)$/;
const fonts = ['font-family', 'font-size'];
const unseen = /^(xmlns(:xlink)?|version|role|aria-[a-z]+|pointer-events)$/;

function isShown({ tag, attributes, children }: SvgNode): boolean {
    if (attributes.get('display') === 'none') return false;
    if (tag === 'text') return attributes.get('opacity') !== '0';
    if (tag === 'g' || tag === 'defs') return children.length > 0;
    return attributes.get('class') !== 'background' || attributes.has('fill') || attributes.has('stroke');
}

function short(name: string, value: string): string {
    if (name === 'd') return value;
    if (name === 'class' && value.includes('role-mark')) return 'role-mark';
    return value.replace(/-?\d+\.\d{3,}/g, (number) => String(Math.round(Number(number) * 100) / 100));
}

/** Attributes without those that nobody sees, numbers at hundredths. */
function tidyAttributes(node: SvgNode): void {
    const kept = [...node.attributes].filter(
        ([name, value]) =>
            !unseen.test(name) &&
            !(name === 'opacity' && value === '1') &&
            !(name === 'transform' && value === 'translate(0,0)') &&
            !(name === 'class' && !/role-mark|^marks$/.test(value)),
    );
    node.attributes = new Map(kept.map(([name, value]) => [name, short(name, value)]));
    const at = shiftOf(node);
    if (node.tag !== 'text' || at === null) return;
    node.attributes.delete('transform');
    node.attributes = new Map([['x', String(at[0])], ['y', String(at[1])], ...node.attributes]);
    for (const line of elements(node)) {
        const x = line.attributes.get('x');
        if (x !== undefined) line.attributes.set('x', String(Number(x) + at[0]));
    }
}

/** Moves the inherited attributes that all leaves of a group share to the group. */
function hoist(group: SvgNode): void {
    const [first, ...others] = elements(group);
    if (first === undefined || others.length === 0) return;
    for (const [name, value] of [...first.attributes]) {
        if (!inherited.test(name) || !others.every((leaf) => leaf.attributes.get(name) === value)) continue;
        group.attributes.set(name, value);
        for (const leaf of [first, ...others]) leaf.attributes.delete(name);
    }
}

/** A group that only puts another in its place becomes one with it; one that does nothing goes. */
function unwrap(child: SvgNode | string): (SvgNode | string)[] {
    if (typeof child === 'string' || child.tag !== 'g') return [child];
    if (child.attributes.size === 0) return child.children;
    const [only, ...others] = child.children;
    const shifts = child.attributes.size === 1 && child.attributes.has('transform');
    if (!shifts || others.length > 0 || typeof only !== 'object' || only.tag !== 'g') return [child];
    if (only.attributes.has('transform')) return [child];
    return [{ ...only, attributes: new Map([...child.attributes, ...only.attributes]) }];
}

function tidy(node: SvgNode): void {
    if (/\bmark-(?!group)/.test(node.attributes.get('class') ?? '')) mergeMarks(node);
    for (const child of elements(node)) tidy(child);
    node.children = node.children.filter((child) => typeof child === 'string' || isShown(child));
    for (const child of elements(node)) tidyAttributes(child);
    node.children = node.children.flatMap(unwrap);
    if (node.tag === 'g' && elements(node).every(({ tag }) => tag !== 'g' && tag !== 'defs')) hoist(node);
}

/** Writes fonts once where all texts of the picture have the same. */
function oneFont(root: SvgNode): void {
    const all = (node: SvgNode): SvgNode[] => [node, ...elements(node).flatMap(all)];
    for (const name of fonts) {
        const nodes = all(root).filter(({ attributes }) => attributes.has(name));
        const values = new Set(nodes.map(({ attributes }) => attributes.get(name)!));
        if (values.size !== 1) continue;
        for (const { attributes } of nodes) attributes.delete(name);
        root.attributes.set(name, [...values][0]!);
    }
}

/**
 * An SVG of Vega's that looks the same and is much shorter: without what nobody sees, lines at tenths of a pixel, marks that look
 * alike in one path, shared attributes and fonts written once.
 */
export function tidySvg(svg: string): string {
    const root = parseSvg(svg);
    tidy(root);
    tidyAttributes(root);
    oneFont(root);
    return writeSvg(root);
}

import { type SavedKey, savedTitle, standaloneSvg } from '../image/standaloneSvg.js';

const paintNames = ['paper', 'raised', 'ink', 'muted', 'rule', 'first', 'second', 'third'];

/** Gives `content` to the reader as a file; nothing leaves the page. */
function give(content: Blob, name: string): void {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(content);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

function fileName(title: string, ending: string): string {
    const page = document.title.split(' - ')[0]!;
    const words = `${page} ${title}`.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');
    return `${words.slice(0, 80)}.${ending}`;
}

function paints(): Record<string, string> {
    const style = getComputedStyle(document.documentElement);
    return Object.fromEntries(paintNames.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
}

function planRules(): string {
    const rules = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]);
    return rules.flatMap(({ cssText }) => (cssText.startsWith('.plan') ? cssText : '')).join('');
}

/** What the symbols around `plot` mean: the legend of its section, or of the nearest one around that. */
function keysOf(plot: Element): SavedKey[] {
    for (let around = plot.parentElement; around !== null; around = around.parentElement) {
        const entries = [...around.querySelectorAll(':scope > .legend > li')];
        if (entries.length === 0) continue;
        return entries.map((entry) => {
            const [symbol, label] = [entry.querySelector('svg')!, entry.textContent!];
            const marks = [...symbol.children].map((mark) => new XMLSerializer().serializeToString(mark));
            return { symbol: marks.join(''), label };
        });
    }
    return [];
}

/** The picture as it stands in `plot`, as a file of its own. */
function svgOf(plot: Element, title: string): string {
    const shown = [...plot.querySelectorAll('svg')].find((svg) => svg.getClientRects().length > 0)!;
    const alt = plot.getAttribute('aria-label') ?? title;
    const rules = shown.classList.contains('plan') ? planRules() : '';
    const svg = new XMLSerializer().serializeToString(shown);
    return standaloneSvg(svg, { title, alt }, keysOf(plot), paints(), rules);
}

async function pngOf(svg: string): Promise<Blob> {
    const image = new Image();
    const address = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
    try {
        image.src = address;
        await image.decode();
        const canvas = document.createElement('canvas');
        canvas.width = 2 * image.width;
        canvas.height = 2 * image.height;
        canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height);
        return await new Promise((resolve) => canvas.toBlob((blob) => resolve(blob!), 'image/png'));
    } finally {
        URL.revokeObjectURL(address);
    }
}

/** A table as it stands, as CSV (RFC 4180): numbers with the minus of programs, a dash alone for nothing. Hidden rows stay out. */
function csvOf(table: HTMLTableElement): string {
    const quoted = (text: string) => (/[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
    const cellText = ({ textContent }: Element) => {
        const text = textContent!.trim();
        return text === '–' ? '' : text.replace(/^−(?=[\d.]+$)/, '-');
    };
    const rows = [...table.rows].filter((row) => !row.hidden);
    return rows
        .map((row) => `${[...row.cells].map((cell) => quoted(cellText(cell))).join(',')}\r\n`)
        .join('');
}

function saver(what: string, title: string, save: () => void): HTMLElement {
    const button = document.createElement('button');
    button.textContent = what;
    button.className = 'save';
    button.setAttribute('aria-label', `Save ${title} as ${what}`);
    button.addEventListener('click', save);
    return button;
}

/** Lets the reader take along each picture as SVG or PNG and each table as CSV: made here, when asked, of what the page shows. */
export function offerToSave(): void {
    for (const plot of document.querySelectorAll('figure > .plot')) {
        const group = plot.closest('.group')?.querySelector('h3')?.textContent ?? '';
        const title = savedTitle(group, plot.parentElement!.querySelector('figcaption')!.textContent!);
        const line = document.createElement('p');
        line.className = 'savers';
        line.append(
            saver('SVG', title, () =>
                give(new Blob([svgOf(plot, title)], { type: 'image/svg+xml' }), fileName(title, 'svg')),
            ),
            saver('PNG', title, () => {
                void pngOf(svgOf(plot, title)).then((png) => give(png, fileName(title, 'png')));
            }),
        );
        plot.after(line);
    }
    for (const frame of document.querySelectorAll('.scroll')) {
        const title = frame.getAttribute('aria-label')!;
        const csv = () => csvOf(frame.querySelector('table')!);
        frame.querySelector('.caption')!.append(
            ' ',
            saver('CSV', title, () => give(new Blob([csv()], { type: 'text/csv' }), fileName(title, 'csv'))),
        );
    }
}

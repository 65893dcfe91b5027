// Writes docs/pictures anew: what the pages of the demo open with, in the colours of a light screen. Needs a build.
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const names = ['audit', 'clocking', 'range'];

const style = readFileSync(join(root, 'src/report/browser/colours.css'), 'utf8');
const light = style.slice(0, style.indexOf('@media'));
const colours = new Map(
    [...light.matchAll(/--([a-z]+): (#[0-9a-f]+);/g)].map(([, name, colour]) => [name, colour]),
);

const folder = mkdtempSync(join(tmpdir(), 'strutmark-pictures-'));
try {
    execFileSync(process.execPath, [join(root, 'dist/src/cli/main.js'), 'demo', '--out', folder, '--quiet']);
    mkdirSync(join(root, 'docs', 'pictures'), { recursive: true });
    for (const name of names) {
        const page = readFileSync(join(folder, `${name}.html`), 'utf8');
        const [svg] = /<svg(?:(?!<svg).)*<\/svg>/s.exec(page.slice(page.indexOf('class="picture"')));
        const [, width, height] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg);
        const painted = svg
            .replace(/var\(--([a-z]+)\)/g, (_, colour) => colours.get(colour))
            .replace(/^<svg[^>]*?(?= viewBox)/, (head) => head.replace(/ (width|height|xmlns)="[^"]*"/g, ''))
            .replace('<svg', `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"`)
            .replace('>', `><rect width="100%" height="100%" fill="${colours.get('paper')}"/>`);
        writeFileSync(join(root, 'docs', 'pictures', `${name}.svg`), `${painted}\n`);
    }
} finally {
    rmSync(folder, { recursive: true });
}

// Writes docs/tables.md and docs/reference.md anew.
import { readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sourcesOf } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const results = readdirSync(join(root, 'src/contracts/results')).sort();
const { tablesPage, referencePage, modules } = await sourcesOf(
    root,
    `export { tablesPage } from './src/model/tablesPage.ts';
    export { referencePage } from './src/cli/referencePage.ts';
    ${results.map((file, i) => `import * as results${i} from './src/contracts/results/${file}';`).join('\n')}
    export const modules = [${results.map((_, i) => `results${i}`).join(', ')}];`,
);
writeFileSync(join(root, 'docs', 'tables.md'), await tablesPage());
writeFileSync(join(root, 'docs', 'reference.md'), referencePage(modules));

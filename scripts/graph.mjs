// Writes docs/tables.md and docs/reference.md anew.
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { resultModules, sourcesOf } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const { tablesPage, referencePage, modules } = await sourcesOf(
    root,
    `export { tablesPage } from './src/model/tablesPage.ts';
    export { referencePage } from './src/cli/referencePage.ts';
    ${resultModules(root)}`,
);
writeFileSync(join(root, 'docs', 'tables.md'), await tablesPage());
writeFileSync(join(root, 'docs', 'reference.md'), referencePage(modules));

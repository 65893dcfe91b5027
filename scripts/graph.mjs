// Writes docs/tables.md anew from sql/.
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sourcesOf } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const { tablesPage } = await sourcesOf(root, "export { tablesPage } from './src/model/tablesPage.ts';");
mkdirSync(join(root, 'docs'), { recursive: true });
writeFileSync(join(root, 'docs', 'tables.md'), await tablesPage());

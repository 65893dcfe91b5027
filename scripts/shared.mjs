// Writes shared/ anew from src/contracts and the heads of sql/.
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { resultModules, sourcesOf } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const { publish, columnTexts, modules } = await sourcesOf(
    root,
    `export { publish } from './src/contracts/publish.ts';
    export { columnTexts } from './src/model/columnTexts.ts';
    ${resultModules(root)}`,
);

const shared = join(root, 'shared');
rmSync(shared, { recursive: true, force: true });
for (const [path, content] of publish(modules, columnTexts())) {
    mkdirSync(dirname(join(shared, path)), { recursive: true });
    writeFileSync(join(shared, path), content);
}

// Writes shared/ anew from src/contracts and the heads of sql/.
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sourcesOf } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const results = readdirSync(join(root, 'src/contracts/results'));
const { publish, columnTexts, modules } = await sourcesOf(
    root,
    `export { publish } from './src/contracts/publish.ts';
    export { columnTexts } from './src/model/columnTexts.ts';
    ${results.map((file, i) => `import * as results${i} from './src/contracts/results/${file}';`).join('\n')}
    export const modules = [${results.map((_, i) => `results${i}`).join(', ')}];`,
);

const shared = join(root, 'shared');
rmSync(shared, { recursive: true, force: true });
for (const [path, content] of publish(modules, columnTexts())) {
    mkdirSync(dirname(join(shared, path)), { recursive: true });
    writeFileSync(join(shared, path), content);
}

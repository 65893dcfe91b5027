// Writes the CSV files of fixtures/season from its seeded script: the same bytes at every run.
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sourcesOf } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const { makeSeason } = await sourcesOf(root, "export { makeSeason } from './fixtures/season/make.ts';");
for (const [name, text] of Object.entries(makeSeason().files)) {
    writeFileSync(join(root, 'fixtures', 'season', name), text);
    process.stdout.write(
        `${name}: ${text.split('\n').length - 2} rows, ${Math.round(text.length / 1000)} kB\n`,
    );
}

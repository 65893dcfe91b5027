// Says after `npm test` what it does not run, or only a sample of.
import { readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const tests = join(dirname(dirname(fileURLToPath(import.meta.url))), 'tests');
const files = readdirSync(tests, { recursive: true }).sort();
const named = (ending) =>
    files.filter((file) => file.endsWith(ending)).map((file) => file.slice(0, -ending.length));

process.stdout.write(
    `Left to \`npm run proof\`: ${named('.proof.ts').join(', ')}; in full: ${named('.sized.test.ts').join(', ')}.\n`,
);

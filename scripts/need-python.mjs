// Puts the Python client of DuckDB under node_modules/.cache, for tests/openTables.proof.ts, which is skipped where that cannot be done.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';

const folder = join('node_modules', '.cache', 'python');
const run = (command, ...words) => spawnSync(command, words, { encoding: 'utf8' });
const install = () =>
    run(
        'python3',
        '-m',
        'pip',
        'install',
        '--quiet',
        '--disable-pip-version-check',
        '--target',
        folder,
        'duckdb>=1.5,<2',
    );

if (!existsSync(join(folder, 'duckdb'))) {
    let { status } = install();
    if (status !== 0 && process.getuid?.() === 0) {
        run('apt-get', 'update', '-qq');
        run('apt-get', 'install', '-y', '-qq', '--no-install-recommends', 'python3', 'python3-pip');
        ({ status } = install());
    }
    if (status !== 0)
        console.log('The Python client of DuckDB cannot be installed: its test will be skipped.');
}

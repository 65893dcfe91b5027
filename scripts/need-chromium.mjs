// Browser tests need a Chromium: take the one that is there, else Debian's where this user may install it.
import { execFileSync, spawnSync } from 'node:child_process';

const names = ['chromium', 'chromium-browser', 'google-chrome'];
const found = () => process.env.CHROMIUM ?? names.find((name) => spawnSync('which', [name]).status === 0);

if (found() === undefined) {
    const root = process.getuid?.() === 0;
    const sudo = root ? [] : ['sudo', '-n'];
    const run = (...words) =>
        execFileSync([...sudo, ...words][0], [...sudo, ...words].slice(1), {
            stdio: ['ignore', 'ignore', 'inherit'],
        });
    try {
        process.stderr.write('Installing Chromium for the browser tests (apt-get) ...\n');
        run('apt-get', 'update', '-qq');
        run('env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get', 'install', '-y', '-qq', 'chromium');
    } catch {
        process.stderr.write(
            'The browser tests need Chromium. Install it (Debian: apt-get install chromium), or set CHROMIUM to its path.\n',
        );
        process.exit(1);
    }
}

import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium } from 'playwright-core';

const names = ['chromium', 'chromium-browser', 'google-chrome'];

function executable(): string {
    const named = process.env.CHROMIUM;
    if (named !== undefined) return named;
    for (const name of names) {
        const found = spawnSync('which', [name], { encoding: 'utf8' });
        if (found.status === 0) return found.stdout.trim();
    }
    throw new Error(
        'The browser tests need Chromium. Install it (Debian: apt-get install chromium), or set CHROMIUM to its path.',
    );
}

const flags = [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
];

/** A headless Chromium that fetches nothing by itself, with a new profile. */
export async function launchChromium(): Promise<Browser> {
    const browser = await chromium.launch({ executablePath: executable(), args: flags, timeout: 0 });
    // Pages open and answer when they do, however busy the machine is; newPage goes through here too.
    const newContext = browser.newContext.bind(browser);
    browser.newContext = async (options) => {
        const context = await newContext(options);
        context.setDefaultTimeout(0);
        return context;
    };
    return browser;
}

/** A Chromium whose profile stays in the folder `profile`; `kill` ends it as a dead battery would. */
export async function launchLasting(
    profile: string,
    options: BrowserContextOptions,
): Promise<{ context: BrowserContext; kill: () => void }> {
    const context = await chromium.launchPersistentContext(profile, {
        ...options,
        executablePath: executable(),
        args: flags,
        timeout: 0,
    });
    const pids = () =>
        readdirSync('/proc')
            .filter((name) => /^\d+$/.test(name))
            .filter((pid) => {
                try {
                    return readFileSync(`/proc/${pid}/cmdline`, 'utf8')
                        .split('\0')
                        .includes(`--user-data-dir=${profile}`);
                } catch {
                    return false;
                }
            });
    const kill = () => {
        for (const pid of pids()) process.kill(Number(pid), 'SIGKILL');
    };
    return { context, kill };
}

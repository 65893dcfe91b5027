import { spawnSync } from 'node:child_process';
import { type Browser, chromium } from 'playwright-core';

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

/** A headless Chromium that fetches nothing by itself, with a new profile. */
export async function launchChromium(): Promise<Browser> {
    const flags = [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
    ];
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

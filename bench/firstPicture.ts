import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { median } from './summary.js';

/** Runs in the page before its own script: notes the first frame drawn after a picture has a size. */
function watch(): void {
    const look = () => {
        const picture = document.querySelector('svg, canvas');
        if (picture !== null && picture.getBoundingClientRect().width > 0) {
            requestAnimationFrame(() => {
                document.documentElement.dataset.firstPicture = String(performance.now());
            });
        } else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
}

/** Milliseconds from opening `file` in Chromium to its first picture, median of five fresh tabs; null without a picture. */
export async function firstPicture(browser: Browser, file: string): Promise<number | null> {
    const times: number[] = [];
    for (let run = 0; run < 5; run++) {
        const page = await browser.newPage();
        await page.addInitScript(watch);
        await page.goto(pathToFileURL(file).href);
        if ((await page.locator('svg, canvas').count()) > 0) {
            await page.waitForFunction(() => document.documentElement.dataset.firstPicture !== undefined);
            times.push(Number(await page.evaluate(() => document.documentElement.dataset.firstPicture)));
        }
        await page.close();
    }
    return median(times);
}

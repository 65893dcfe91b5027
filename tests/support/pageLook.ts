import type { Page } from 'playwright-core';

/** Texts of plots that reach out of their picture. */
export function cutLabels(page: Page): Promise<string[]> {
    return page.locator('.plot svg:visible').evaluateAll((pictures) =>
        pictures.flatMap((svg) => {
            const frame = svg.getBoundingClientRect();
            const slack = 2;
            return [...svg.querySelectorAll('text')]
                .filter((text) => {
                    const { left, right, top, bottom, width } = text.getBoundingClientRect();
                    return (
                        width > 0 &&
                        (left < frame.left - slack ||
                            right > frame.right + slack ||
                            top < frame.top - slack ||
                            bottom > frame.bottom + slack)
                    );
                })
                .map((text) => text.textContent!);
        }),
    );
}

/** Upper edge and width, px, of the picture that a page opens with; null where it has none. */
export async function pictureEdges(page: Page): Promise<{ top: number; width: number } | null> {
    await page.evaluate(() => scrollTo(0, 0));
    const [edges] = await page.locator('.picture :is(.plot, .sheet)').evaluateAll((found) =>
        found.slice(0, 1).map((picture) => {
            const { top, width } = picture.getBoundingClientRect();
            return { top, width };
        }),
    );
    return edges ?? null;
}

/** How far the page reaches beyond its window, px. */
export function overflow(page: Page): Promise<number> {
    return page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
}

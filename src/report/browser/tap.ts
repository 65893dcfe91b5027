type Tell = (handler: unknown, event: MouseEvent, item: unknown, value: unknown) => void;

interface Drawn {
    tooltip?: unknown;
}

/** How far from a mark a finger may come down, px. */
const reaches = [0, 5, 10, 15];
const turns = Array.from({ length: 8 }, (_, turn) => (turn * Math.PI) / 4);

/** What `plot` drew nearest to a place of the window, with something to tell; null where nothing is near. */
function nearest(plot: Element, x: number, y: number): Drawn | null {
    for (const reach of reaches) {
        for (const turn of turns) {
            const found = document.elementFromPoint(x + reach * Math.cos(turn), y + reach * Math.sin(turn));
            // Vega ties what it draws to its elements so.
            const item = (found as { __data__?: Drawn } | null)?.__data__;
            if (item?.tooltip && plot.contains(found)) return item;
        }
    }
    return null;
}

/** A finger does not hover: a tap tells what lies under it or near it in a live plot, a tap elsewhere takes that away. */
export function tellOnTap(tell: Tell): void {
    document.addEventListener('click', (event) => {
        const plot = (event.target as Element).closest('.plot[data-live]');
        const item = plot === null ? null : nearest(plot, event.clientX, event.clientY);
        tell(null, event, item, item?.tooltip);
    });
}

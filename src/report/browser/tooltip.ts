/** One box for all plots: the values of the mark under the pointer, as text. */
export function tooltipBox(): (handler: unknown, event: MouseEvent, item: unknown, value: unknown) => void {
    const box = document.createElement('div');
    box.id = 'tooltip';
    box.hidden = true;
    document.body.append(box);
    // The box stands still in the window; its mark does not.
    window.addEventListener('scroll', () => {
        box.hidden = true;
    });
    // A finger has nothing to take away from a mark.
    const isTouch = matchMedia('(hover: none)').matches;
    const close = document.createElement('button');
    close.type = 'button';
    close.textContent = 'Close';
    close.addEventListener('click', () => {
        box.hidden = true;
    });
    return (_handler, event, _item, value) => {
        const lines = linesOf(value);
        if (lines.length === 0) {
            box.hidden = true;
            return;
        }
        box.replaceChildren(...lines.flatMap(line), ...(isTouch ? [close] : []));
        box.hidden = false;
        const { innerWidth, innerHeight } = window;
        const x = Math.min(event.clientX + 14, innerWidth - box.offsetWidth - 8);
        const y =
            event.clientY + 14 + box.offsetHeight > innerHeight
                ? event.clientY - 14 - box.offsetHeight
                : event.clientY + 14;
        box.style.left = `${Math.max(8, x)}px`;
        box.style.top = `${Math.max(8, y)}px`;
    };
}

/** Names and values to tell; what is missing is left out. */
function linesOf(value: unknown): [string, unknown][] {
    const all: [string, unknown][] =
        typeof value === 'object' && value !== null ? Object.entries(value) : [['', value]];
    return all.filter(([, told]) => told !== null && told !== undefined && told !== '');
}

function line([name, value]: [string, unknown]): HTMLElement[] {
    return [String(name), String(value)].map((text, index) => {
        const cell = document.createElement(index === 0 ? 'span' : 'b');
        cell.textContent = text;
        return cell;
    });
}

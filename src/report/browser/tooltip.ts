/** One box for all plots: the values of the mark under the pointer, as text. */
export function tooltipBox(): (handler: unknown, event: MouseEvent, item: unknown, value: unknown) => void {
    const box = document.createElement('div');
    box.id = 'tooltip';
    box.hidden = true;
    document.body.append(box);
    return (_handler, event, _item, value) => {
        if (value === null || value === undefined || value === '') {
            box.hidden = true;
            return;
        }
        const lines: [string, unknown][] = typeof value === 'object' ? Object.entries(value) : [['', value]];
        box.replaceChildren(...lines.flatMap(line));
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

function line([name, value]: [string, unknown]): HTMLElement[] {
    return [String(name), String(value)].map((text, index) => {
        const cell = document.createElement(index === 0 ? 'span' : 'b');
        cell.textContent = text;
        return cell;
    });
}

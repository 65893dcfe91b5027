/** The element of the page with this id; a page without it is a bug. */
export function byId<T extends HTMLElement = HTMLElement>(id: string): T {
    const found = document.getElementById(id);
    if (found === null) throw new Error(`the sheet has no #${id}`);
    return found as T;
}

/** An element with text or other elements in it; attributes by name, null left out. */
export function element(
    name: string,
    attributes: Readonly<Record<string, string | null>>,
    ...children: (Node | string)[]
): HTMLElement {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) if (value !== null) made.setAttribute(key, value);
    made.append(...children);
    return made;
}

export const option = (value: string, text: string, selected: boolean): HTMLElement =>
    element('option', { value, selected: selected ? '' : null }, text);

/** A row of buttons of which one is pressed. */
export function choices(
    group: HTMLElement,
    items: readonly { value: string; text: string; label?: string }[],
    pressed: string,
): void {
    const had = document.activeElement instanceof HTMLElement && group.contains(document.activeElement);
    group.replaceChildren(
        ...items.map(({ value, text, label }) =>
            element(
                'button',
                {
                    type: 'button',
                    'data-value': value,
                    'aria-pressed': String(value === pressed),
                    'aria-label': label ?? null,
                },
                text,
            ),
        ),
    );
    if (had) group.querySelector<HTMLElement>('[aria-pressed=true]')?.focus();
}

/** The `<select>` that stresses one value of `field` in every plot; plots tell of clicks with `choose`. */
export interface Highlighter {
    field: string;
    value(): string;
    choose(value: string): void;
    onChange(listener: (value: string) => void): void;
}

/** Wakes the select of the page, or gives null when the page has none. */
export function highlighter(): Highlighter | null {
    const select = document.querySelector<HTMLSelectElement>('#filters [data-highlight] select');
    if (!select) return null;
    const listeners: ((value: string) => void)[] = [];
    const tell = () => {
        for (const listener of listeners) listener(select.value);
    };
    const choose = (value: string) => {
        select.value = value;
        select.dispatchEvent(new Event('change'));
    };
    select.addEventListener('change', tell);
    document.addEventListener('keydown', (event) => {
        if (event.key === 'Escape' && select.value !== '') choose('');
    });
    return {
        field: select.dataset.field!,
        value: () => select.value,
        choose,
        onChange: (listener) => listeners.push(listener),
    };
}

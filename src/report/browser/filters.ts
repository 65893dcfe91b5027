/** Wakes the selects of the page: what has keys is hidden while they do not hold the chosen value of every select that they name. */
export function wakeFilters(): void {
    const frame = document.getElementById('filters');
    if (frame === null) return;
    frame.hidden = false;
    const selects = [...frame.querySelectorAll('select')];
    const keyed = [...document.querySelectorAll<HTMLElement>('[data-keys]')].map((element) => ({
        element,
        keys: JSON.parse(element.dataset.keys!) as Record<string, string[]>,
    }));
    const reset = frame.querySelector('button')!;
    const apply = () => {
        // Were it hidden, its coming would move the page from under a finger.
        reset.disabled = selects.every(({ value }) => value === '');
        for (const { element, keys } of keyed) {
            element.hidden = selects.some(
                ({ value, dataset }) => value !== '' && keys[dataset.field!]?.includes(value) === false,
            );
        }
    };
    for (const select of selects) select.addEventListener('change', apply);
    reset.addEventListener('click', () => {
        for (const select of selects) {
            select.value = '';
            select.dispatchEvent(new Event('change'));
        }
    });
    // A browser may keep what was chosen before the page was loaded anew.
    apply();
}

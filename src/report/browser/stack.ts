/** Names the cells of `tables` by their columns: a narrow screen, and paper where a table is too wide, show each row as a card. */
function name(tables: Iterable<HTMLTableElement>): void {
    for (const table of tables) {
        const names = [...table.tHead!.rows[0]!.cells].map((cell) => cell.textContent!);
        for (const row of table.tBodies[0]!.rows)
            for (const [place, cell] of [...row.cells].entries()) cell.dataset.name = names[place]!;
        table.classList.add('named');
    }
}

/** Names the cells of tables that are shown as cards: of all once the screen is narrow, of those too wide for paper at once. */
export function nameCells(): void {
    name(document.querySelectorAll<HTMLTableElement>('.scroll table.broken'));
    const narrow = matchMedia('(max-width: 37.5rem)');
    const all = () => {
        if (!narrow.matches) return;
        narrow.removeEventListener('change', all);
        name(document.querySelectorAll<HTMLTableElement>('.scroll table:not(.named)'));
    };
    narrow.addEventListener('change', all);
    all();
}

/** Names the cells of tables with long text by their columns: a narrow screen shows each of their rows as a list. */
export function nameCells(): void {
    for (const table of document.querySelectorAll<HTMLTableElement>('table.stack')) {
        const names = [...table.tHead!.rows[0]!.cells].map((cell) => cell.textContent!);
        for (const row of table.tBodies[0]!.rows)
            for (const [place, cell] of [...row.cells].entries()) cell.dataset.name = names[place]!;
        table.classList.add('named');
    }
}

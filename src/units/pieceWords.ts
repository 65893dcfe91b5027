/** `A, 2 x B, C`: ids in their order, those that follow each other counted. */
export function pieceWords(ids: readonly string[]): string {
    const counted: { id: string; count: number }[] = [];
    for (const id of ids) {
        const last = counted.at(-1);
        if (last?.id === id) last.count += 1;
        else counted.push({ id, count: 1 });
    }
    return counted.map(({ id, count }) => (count === 1 ? id : `${count} x ${id}`)).join(', ');
}

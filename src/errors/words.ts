/** A piece of the user's text inside a sentence. */
export function quoted(text: string): string {
    return `"${text.length > 60 ? `${text.slice(0, 60)}...` : text}"`;
}

/** Names behind commas, at most twelve. */
export function listed(names: readonly string[]): string {
    const shown = names.slice(0, 12);
    return names.length > shown.length
        ? `${shown.join(', ')} and ${names.length - shown.length} more`
        : shown.join(', ');
}

/** A number and the noun that goes with it. */
export function counted(count: number, one: string, many: string): string {
    return `${count} ${count === 1 ? one : many}`;
}

export function bookClosed(file: string): string {
    return `The book of ${file} was closed. Open it again: openBook(${JSON.stringify(file)}).`;
}

export function stoppedByCaller(): string {
    return 'Stopped by its signal; what was in hand is as it was before.';
}

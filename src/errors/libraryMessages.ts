export const bookClosed = (file: string) =>
    `The book of ${file} was closed. Open it again: openBook(${JSON.stringify(file)}).`;

export const stoppedByCaller = () => 'Stopped by its signal; what was in hand is as it was before.';

/** `text` with a capital first letter. */
export const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** `text` as people read it on a page: degrees as a sign, one minus sign, no line that begins with a percent sign. */
export function prose(text: string): string {
    return text
        .replace(/(\d) deg\b/g, '$1°')
        .replace(/(^|[\s(])-(?=\d)/g, '$1−')
        .replace(/(\d) %/g, '$1\u00a0%')
        .replace(/± (\d)/g, '±\u00a0$1');
}

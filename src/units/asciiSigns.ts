const signs: [RegExp, string][] = [
    [/[\u2212\u2010-\u2015]/g, '-'],
    [/[\u00ba\u02da]/g, '°'],
    [/''|[\u2033\u201d\u201c\u3003]/g, '"'],
    [/[\u2032\u2019\u2018\u00b4`]/g, "'"],
    [/[\u00a0\u2007\u2009\u202f]/g, ' '],
];

/** `text` with minus signs, degree signs, primes and spaces of typography as the plain ones: `−1º30′` becomes `-1°30'`. */
export function asciiSigns(text: string): string {
    return signs.reduce((plain, [sign, ascii]) => plain.replace(sign, ascii), text).trim();
}

/**
 * Decimal degrees of `1.30` or `1,30` meant as 1 degree 30 minutes: the two digits behind the mark are minutes. Null where
 * there is one digit (a spreadsheet makes 1.3 of 1.30, so 3 and 30 minutes look alike), or the minutes reach 60.
 */
export function dottedMinutesToDeg(text: string): number | null {
    const [, sign, degrees, minutes] = /^([+-]?) ?(\d+)(?:[.,](\d\d))?$/.exec(text) ?? [];
    if (degrees === undefined || Number(minutes ?? 0) >= 60) return null;
    const value = Number(degrees) + Number(minutes ?? 0) / 60;
    return sign === '-' ? -value : value;
}

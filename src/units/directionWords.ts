/** Which way a move of the bearing goes; both ways are named between 22.5 and 67.5 degrees. */
export function directionWords(out_mm: number, aft_mm: number): string {
    const across = out_mm < 0 ? 'inboard' : 'outboard';
    const along = aft_mm < 0 ? 'forward' : 'rearward';
    const slope = Math.tan(Math.PI / 8);
    if (Math.abs(aft_mm) <= slope * Math.abs(out_mm)) return across;
    if (Math.abs(out_mm) <= slope * Math.abs(aft_mm)) return along;
    return `${across} and ${along}`;
}

/** Place of car `vehicle` on the page of cars: letters and digits as they are, all else by its code. */
export function carAnchor(vehicle: string): string {
    return `car-${vehicle.replace(/[^A-Za-z0-9-]/gu, (sign) => `_${sign.codePointAt(0)!.toString(16)}_`)}`;
}

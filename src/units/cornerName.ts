/** `front left` for `FL`. */
export function cornerName(corner: string): string {
    return `${corner.startsWith('F') ? 'front' : 'rear'} ${corner.endsWith('L') ? 'left' : 'right'}`;
}

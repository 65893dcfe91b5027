/** Size of a test in a file `*.sized.test.ts`: `sample` in `npm test`, `whole` in `npm run proof`. */
export function sized(sample: number, whole: number): number {
    return process.env.PROOF === undefined ? sample : whole;
}

/** Inner product of the elements `from` to `to` (excluded) of the rows that begin at `p` and `q`: four sums, which run side by side. */
function dot(a: Float64Array, p: number, q: number, from: number, to: number): number {
    let [s0, s1, s2, s3] = [0, 0, 0, 0];
    let k = from;
    for (; k + 3 < to; k += 4) {
        s0 += a[p + k]! * a[q + k]!;
        s1 += a[p + k + 1]! * a[q + k + 1]!;
        s2 += a[p + k + 2]! * a[q + k + 2]!;
        s3 += a[p + k + 3]! * a[q + k + 3]!;
    }
    for (; k < to; k++) s0 += a[p + k]! * a[q + k]!;
    return s0 + s1 + (s2 + s3);
}

/**
 * Inverse of the symmetric positive definite n x n matrix `a` (row by row, the lower triangle is read), through its Cholesky
 * factor (Golub and Van Loan, Matrix Computations, 4th ed. 2013, section 4.2; from memory). NaN where it is not positive definite.
 */
export function symmetricInverse(a: Float64Array, n: number): Float64Array {
    // Rows of the factor L, then the columns of 1/L as rows behind them: all inner products run along memory.
    const work = new Float64Array(2 * n * n);
    for (let i = 0; i < n; i++) {
        for (let j = 0; j < i; j++) {
            work[i * n + j] = (a[i * n + j]! - dot(work, i * n, j * n, 0, j)) / work[j * n + j]!;
        }
        work[i * n + i] = Math.sqrt(a[i * n + i]! - dot(work, i * n, i * n, 0, i));
    }
    const column = (j: number) => (n + j) * n;
    for (let j = 0; j < n; j++) {
        work[column(j) + j] = 1 / work[j * n + j]!;
        for (let i = j + 1; i < n; i++) {
            work[column(j) + i] = -dot(work, i * n, column(j), j, i) / work[i * n + i]!;
        }
    }
    const inverse = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
        for (let j = 0; j <= i; j++) {
            const value = dot(work, column(i), column(j), i, n);
            inverse[i * n + j] = value;
            inverse[j * n + i] = value;
        }
    }
    return inverse;
}

-- Matrices as lists of rows. Inner products of the rows of a with the rows of b: a times b transposed, a times b for symmetric b.
create or replace temp macro row_products(a, b) as [[list_inner_product(x, y) for y in b] for x in a];
-- A symmetric matrix times a vector.
create or replace temp macro matrix_times(a, x) as [list_inner_product(r, x) for r in a];
-- Inverse of a symmetric positive definite matrix by Gauss-Jordan steps on the matrix with the unit matrix beside it.
create or replace temp macro inverse(a) as
    list_transform(
        list_reduce(
            list_prepend(
                [list_concat(a[i], [case when j = i then cast(1 as double) else 0 end for j in range(1, len(a) + 1)]) for i in range(1, len(a) + 1)],
                [[[cast(k as double)]] for k in range(1, len(a) + 1)]
            ),
            lambda m, step: [
                case
                    when i = cast(step[1][1] as integer) then [value / m[i][i] for value in m[i]]
                    else [
                        m[i][j] - m[i][cast(step[1][1] as integer)] * m[cast(step[1][1] as integer)][j]
                            / m[cast(step[1][1] as integer)][cast(step[1][1] as integer)]
                        for j in range(1, 2 * len(m) + 1)
                    ]
                end
                for i in range(1, len(m) + 1)
            ]
        ),
        lambda r: r[len(r) // 2 + 1:]
    );

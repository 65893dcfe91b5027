-- Solves xx * b = xy for a symmetric positive semi-definite matrix xx (list of rows) by Gauss-Jordan steps on the matrix
-- scaled to unit diagonal. Returns one coefficient per row; NULL where the pivot left by the earlier rows is under 1e-13,
-- that is, where the column is empty or a combination of earlier ones.
create or replace temp macro solve_normal_equations(xx, xy) as (
    list_transform(
        list_reduce(
            list_prepend(
                [
                    list_append(
                        [
                            case when xx[i][i] > 0 and xx[j][j] > 0
                                then xx[i][j] / sqrt(xx[i][i]) / sqrt(xx[j][j]) else 0.0 end
                            for j in range(1, len(xy) + 1)
                        ],
                        case when xx[i][i] > 0 then xy[i] / sqrt(xx[i][i]) else 0.0 end
                    )
                    for i in range(1, len(xy) + 1)
                ],
                [[[cast(k as double)]] for k in range(1, len(xy) + 1)]
            ),
            lambda m, step: [
                case
                    when m[cast(step[1][1] as integer)][cast(step[1][1] as integer)] > 1e-13
                    then case
                        when i = cast(step[1][1] as integer)
                        then [value / m[i][i] for value in m[i]]
                        else [
                            m[i][j] - m[i][cast(step[1][1] as integer)] * m[cast(step[1][1] as integer)][j]
                                / m[cast(step[1][1] as integer)][cast(step[1][1] as integer)]
                            for j in range(1, len(m[1]) + 1)
                        ]
                    end
                    when i = cast(step[1][1] as integer)
                    then [cast(null as double) for value in m[i]]
                    else m[i]
                end
                for i in range(1, len(m) + 1)
            ]
        ),
        lambda row, i: row[-1] / sqrt(xx[i][i])
    )
);

import { afterAll, beforeAll, expect, test } from 'vitest';
import { check, dataset, logRelativeError } from '../../fixtures/reference/checks.js';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';

// NIST StRD certified values (fixtures/reference/checks.csv, ids strd.*), through the SQL functions that the models use.
let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterAll(() => db.close());

async function observed(y: number[], x: number[][]) {
    const names = x[0]!.map((_, j) => `x${j + 1}`);
    await db.run(
        `create or replace temp table observed (y double, ${names.map((name) => `${name} double`).join(', ')})`,
    );
    const appender = await db.connection.createAppender('observed');
    for (const [i, value] of y.entries()) {
        for (const cell of [value, ...x[i]!]) appender.appendDouble(cell);
        appender.endRow();
    }
    appender.closeSync();
    return names;
}

/** Least squares with intercept: centred exact moments, then the solver; [B0, B1, ...]. */
async function leastSquares(y: number[], x: number[][]): Promise<number[]> {
    const names = await observed(y, x);
    const centred = (a: string, b: string) =>
        `centred_moment(count(*), moment(${a}, ${b}), sum(micro(${a})), sum(micro(${b})))`;
    const [row] = await db.cells(
        `with fitted as (
            select solve_normal_equations(
                [${names.map((a) => `[${names.map((b) => centred(a, b)).join(', ')}]`).join(', ')}],
                [${names.map((a) => centred(a, 'y')).join(', ')}]
            ) as slopes,
            exact_mean(y) as mean_y, [${names.map((a) => `exact_mean(${a})`).join(', ')}] as means
            from observed
        )
        select list_prepend(mean_y - list_dot_product(means, slopes), slopes) as b from fitted`,
    );
    return row!.b as number[];
}

const column = (name: string, key: string) => dataset(name).map((row) => Number(row[key]));

test.each([
    ['Norris', 1, 9],
    ['Pontius', 2, 9],
    ['Longley', 6, 7],
    ['Wampler1', 5, 7],
    ['Wampler2', 5, 7],
    ['Wampler3', 5, 7],
    ['Wampler4', 5, 7],
    ['Wampler5', 5, 7],
] as const)('%s: every coefficient', async (name, terms, digits) => {
    const rows = dataset(`nist_${name}`);
    const y = rows.map((row) => Number(row.y));
    // 7 digits for a quintic: its normal equations, scaled to unit diagonal, have a condition of about 1e8.
    // Pontius is a quadratic in load, in units of a million so that its squares fit the fixed point; Wampler a quintic.
    const unit = name === 'Pontius' ? 1e6 : 1;
    const x = rows.map((row) =>
        name === 'Longley'
            ? [1, 2, 3, 4, 5, 6].map((j) => Number(row[`x${j}`]))
            : Array.from({ length: terms }, (_, j) => (Number(row.x) / unit) ** (j + 1)),
    );
    const b = await leastSquares(y, x);
    for (let j = 0; j <= terms; j++) {
        expect(logRelativeError(b[j]! / unit ** j, check(`strd.${name}.B${j}`).value)).toBeGreaterThan(
            digits,
        );
    }
});

test.each(['NoInt1', 'NoInt2'])('%s: no intercept, the sums of the slopes themselves', async (name) => {
    await observed(
        column(`nist_${name}`, 'y'),
        column(`nist_${name}`, 'x').map((x) => [x]),
    );
    const [row] = await db.cells(
        'select solve_normal_equations([[grid_sum(x1 * x1)]], [grid_sum(x1 * y)])[1] as b from observed',
    );
    expect(logRelativeError(row!.b as number, check(`strd.${name}.B1`).value)).toBeGreaterThan(14);
});

test.each([
    ['PiDigits', 14, 14],
    ['Lottery', 14, 14],
    ['Lew', 14, 14],
    ['Mavro', 14, 12],
    ['Michelso', 14, 13],
    ['NumAcc1', 14, 14],
    ['NumAcc2', 14, 14],
    ['NumAcc3', 14, 9],
    ['NumAcc4', 14, 8],
] as const)('%s: mean and standard deviation', async (name, meanDigits, sdDigits) => {
    await observed(
        column(`nist_${name}`, 'y'),
        column(`nist_${name}`, 'y').map(() => [1]),
    );
    const [row] = await db.cells(
        `select exact_mean(y) as mean, sqrt(centred_moment(count(*), moment(y, y), sum(micro(y)), sum(micro(y))) / (count(*) - 1)) as sd
        from observed`,
    );
    expect(logRelativeError(row!.mean as number, check(`strd.${name}.mean`).value)).toBeGreaterThan(
        meanDigits,
    );
    expect(logRelativeError(row!.sd as number, check(`strd.${name}.sd_n-1`).value)).toBeGreaterThan(sdDigits);
});

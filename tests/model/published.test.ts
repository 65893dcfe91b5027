import { afterEach, beforeEach, expect, test } from 'vitest';
import { check, checksOf, dataset } from '../../fixtures/reference/checks.js';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { slopeEstimate } from '../../src/stats/slopes/slopeEstimate.js';

let db: Database;
beforeEach(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterEach(() => db.close());

const build = async (...tables: string[]) => {
    for (const model of modelFiles()) if (tables.includes(model.table)) await buildTable(db, model);
};

async function fill(name: string, rows: readonly Record<string, string>[]) {
    const columns = Object.keys(rows[0]!);
    await db.run(`create temp table ${name} (${columns.map((column) => `"${column}" varchar`).join(', ')})`);
    const appender = await db.connection.createAppender(name);
    for (const row of rows) {
        for (const column of columns) appender.appendVarchar(row[column]!);
        appender.endRow();
    }
    appender.closeSync();
}

test('CR2 covariance and least squares on the firm-year panel of Petersen (2009)', async () => {
    // The intercept is the outboard axis, x the rearward one, a firm is a vehicle, and residuals far from the end of the bisquare make every robust weight 1.
    const panel = dataset('petersen');
    const zeros = new Float64Array(panel.length);
    const firms = [...new Set(panel.map(({ firm }) => firm))];
    const found = slopeEstimate(
        {
            out: zeros.map(() => 1),
            aft: Float64Array.from(panel, ({ x }) => Number(x)),
            change: Float64Array.from(panel, ({ y }) => Number(y)),
            weight: zeros.map(() => 1),
            kits: undefined,
            vehicle: Int32Array.from(panel, ({ firm }) => firms.indexOf(firm)),
            vehicleCount: firms.length,
            errorOo: zeros,
            errorOa: zeros,
            errorAa: zeros,
            midOut: zeros,
            midAft: zeros,
        },
        { out: 0, aft: 0 },
        1,
        1e9,
    );
    const near = (got: unknown, id: string, relative = 0) => {
        const { value, tolerance } = check(id);
        expect(Math.abs((got as number) - value)).toBeLessThan(tolerance + relative * Math.abs(value));
    };
    // Companion page of Petersen (2009), Review of Financial Studies 22(1).
    near(found.slope.out, 'petersen.page.coef_intercept');
    near(found.slope.aft, 'petersen.page.coef_x');
    // Bell-McCaffrey values printed with R's sandwich; the moves are whole millionths, hence the relative term.
    near(found.variance.oo, 'petersen.CR2_V[1,1]', 2e-6);
    near(found.variance.aa, 'petersen.CR2_V[2,2]', 2e-6);
    near(found.variance.oa, 'petersen.CR2_V[1,2]', 2e-5);
    expect(firms.length).toBe(500);
    expect(found.df.aft).toBeGreaterThan(200);
    expect(found.df.aft).toBeLessThan(500);
});

/** The 13 trials as one slope each with a known variance. */
async function trials() {
    await fill('bcg', dataset('dat_bcg'));
    await db.run(`create table slope_estimates as
        with risk as (
            select 'T' || trial as chassis,
                ln((tpos::double / (tpos::double + tneg::double)) / (cpos::double / (cpos::double + cneg::double))) as yi,
                1 / tpos::double - 1 / (tpos::double + tneg::double) + 1 / cpos::double - 1 / (cpos::double + cneg::double) as vi
            from bcg
        )
        select chassis, 'camber_deg' as response, 'out' as rank, yi as slope_out, cast(null as double) as slope_aft,
            vi as var_out, cast(null as double) as var_aft, cast(null as double) as cov_out_aft, 1e12::double as df_out,
            cast(null as double) as df_aft, 1 / vi as xx_oo, 0.0::double as xx_oa, 0.0::double as xx_aa, yi / vi as xy_o,
            0.0::double as xy_a, 1.0::double as noise_var_deg2, 1::bigint as move_count
        from risk;
        create table slope_flags as select '' as chassis, cast(null as varchar) as flag;
        create table readings as select chassis from slope_estimates`);
    await build('angle_priors', 'slope_populations');
}

test('between-group variance by Paule and Mandel on the vaccine trials (metafor)', async () => {
    await trials();
    const [row] = await db.cells(
        "select * from slope_populations where response = 'camber_deg' and axis = 'out'",
    );
    const { value, tolerance } = check('bcg.rr.PM_tau2');
    expect(Math.abs((row!.paule_mandel_var as number) - value)).toBeLessThan(tolerance);
    expect(row!.paule_mandel_mean).toBeCloseTo(check('bcg.rr.PM_est').value, 8);
    expect(row!.chassis_count).toBe(13);
});

test('shrunken values and their intervals on the vaccine trials (metafor blup, REML variance)', async () => {
    await trials();
    // The published values use the REML mean and variance; the shrinkage takes what slope_populations holds.
    const mean = check('bcg.rr.REML_estimate').value;
    const se = check('bcg.rr.REML_se').value;
    await db.run(
        `update slope_populations set mean_deg_per_mm = ${mean}, mean_var = ${se * se},
            between_var = ${check('bcg.rr.REML_tau2').value}, between_df = null, dispersion = 1
        where response = 'camber_deg' and axis = 'out'`,
    );
    await build('slopes_shrunk');
    const rows = await db.cells(
        "select chassis, slope_out, sqrt(var_out) as se from slopes_shrunk where response = 'camber_deg'",
    );
    expect(checksOf('bcg.blup.pred_')).toHaveLength(rows.length);
    for (const row of rows) {
        const trial = (row.chassis as string).slice(1);
        // Published as risk ratios to 4 decimals from inputs rounded to 4 decimals.
        const estimate = row.slope_out as number;
        expect(Math.exp(estimate)).toBeCloseTo(check(`bcg.blup.pred_${trial}`).value, 3);
        expect(Math.exp(estimate - 1.959964 * (row.se as number))).toBeCloseTo(
            check(`bcg.blup.pi.lb_${trial}`).value,
            3,
        );
        expect(Math.exp(estimate + 1.959964 * (row.se as number))).toBeCloseTo(
            check(`bcg.blup.pi.ub_${trial}`).value,
            2,
        );
    }
});

test.each([
    ['bisquare_weight(power(r / scale / 4.685061, 2))', 'bisquare', '0.6745'],
    ['least(1, 1.345 / greatest(abs(r / scale), 1e-12))', 'huber', '0.6745'],
] as const)('M-estimate with %s on the stack-loss data (MASS)', async (weight, id, madConstant) => {
    await fill('stackloss', dataset('stackloss'));
    await db.run(`create temp table plant as select row_number() over () as i, "Air.Flow"::double as a, "Water.Temp"::double as w,
        "Acid.Conc."::double as c, "stack.loss"::double as y from stackloss`);
    const terms = ['1', 'a', 'w', 'c'];
    let b = [0, 0, 0, 0];
    for (let step = 0; step < 60; step++) {
        const fitted = terms.map((term, j) => `${term} * (${b[j]})`).join(' + ');
        const weights = step === 0 ? '1' : weight;
        const [row] = await db.cells(
            `with residuals as (select *, y - (${fitted}) as r from plant),
            scaled as (select *, (select median(abs(r)) from residuals) / ${madConstant} as scale from residuals),
            weighted as (select *, cast(${weights} as double) as wt from scaled)
            select solve_normal_equations(
                [${terms.map((s) => `[${terms.map((t) => `grid_sum(wt * ${s} * ${t})`).join(', ')}]`).join(', ')}],
                [${terms.map((s) => `grid_sum(wt * ${s} * y)`).join(', ')}]
            ) as b from weighted`,
        );
        b = row!.b as number[];
    }
    for (const [j, name] of ['(Intercept)', 'Air.Flow', 'Water.Temp', 'Acid.Conc.'].entries()) {
        const { value, tolerance } = check(`${id}.${name}`);
        expect(Math.abs(b[j]! - value)).toBeLessThan(tolerance);
    }
});

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { afterAll, describe, expect, test } from 'vitest';
import { type Field, fieldOf, readingsQuery } from '../bench/data.js';
import { interleave } from '../bench/interleave.js';
import { line, reached } from '../bench/line.js';
import type { Outcome } from '../bench/run.js';
import { shapedQuery, shapes } from '../bench/shapes.js';
import { median, pairedRatio } from '../bench/summary.js';
import { stageText } from '../bench/text.js';
import { packageRoot } from '../src/packageRoot.js';
import { loadBench } from './support/loading.js';

const folder = mkdtempSync(join(tmpdir(), 'strutmark-bench-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

describe('arithmetic', () => {
    test('median: nothing, one, odd, even, in any order', () => {
        expect(median([])).toBeNull();
        expect(median([4])).toBe(4);
        expect(median([9, 1, 5])).toBe(5);
        expect(median([8, 2, 4, 100])).toBe((4 + 8) / 2);
    });

    test('the ratio is taken round by round: a slow round cancels', () => {
        expect(pairedRatio([3, 30, 4], [2, 20, 2])).toEqual({ median: 1.5, low: 1.5, high: 2 });
    });

    test('rounds without a partner count for nothing', () => {
        expect(pairedRatio([3, 30], [2])).toEqual({ median: 1.5, low: 1.5, high: 1.5 });
        expect(pairedRatio([3], [2, 20])).toEqual({ median: 1.5, low: 1.5, high: 1.5 });
        expect(pairedRatio([], [2])).toBeNull();
    });

    test('goals: at most, at least, not measured', () => {
        const usage = (wall_ms: number) => ({ wall_ms, cpu_ms: 1, peak_mb: 1 });
        const trial = (wall_ms: number) => ({ usages: [usage(wall_ms)], stdout: '', problem: null });
        const result = line('stage', 'what', trial(30), { baseline: trial(20) });
        expect(result.wall_ratio?.median).toBe(1.5);
        expect(reached(result, { of: 'wall_ratio', at_most: 1.5 })).toBe(true);
        expect(reached(result, { of: 'wall_ratio', at_least: 10 })).toBe(false);
        expect(reached(result, { of: 'wall_ms', at_most: 29 })).toBe(false);
        expect(reached(result, { of: 'figure', at_most: 1 })).toBeNull();
    });
});

test('a note that several lines share is said once', () => {
    const note = 'out of time';
    const lines = [line('s', 'one', undefined, { note }), line('s', 'two', undefined, { note })];
    expect(stageText('title', lines).split('\n').at(-1)).toBe('  one; two: out of time');
});

test('arms take turns; one that fails is left out of the rounds that follow, and says why', async () => {
    const ran: string[] = [];
    const run = async ({ program }: { program: string }): Promise<Outcome> => {
        ran.push(program);
        return program === 'b'
            ? { problem: 'broken' }
            : { usage: { wall_ms: 10, cpu_ms: 4, peak_mb: ran.length }, stdout: program };
    };
    const command = (program: string) => ({ program, args: [] });
    const arms = [
        { name: 'two', commands: [command('a1'), command('a2')] },
        { name: 'bad', commands: [command('b')] },
        { name: 'one', commands: [command('c')] },
    ];
    const trials = await interleave(arms, 2, run);
    expect(ran).toEqual(['a1', 'a2', 'b', 'c', 'a1', 'a2', 'c']);
    expect(trials.get('two')).toEqual({
        usages: [
            { wall_ms: 20, cpu_ms: 8, peak_mb: 2 },
            { wall_ms: 20, cpu_ms: 8, peak_mb: 6 },
        ],
        stdout: 'a2',
        problem: null,
    });
    expect(trials.get('bad')).toEqual({ usages: [], stdout: '', problem: 'broken' });
});

describe('invented readings', () => {
    const source = readFileSync(join(packageRoot(), 'bench', 'readings.sql'), 'utf8');

    async function readings(name: string, field: Field, threads: string): Promise<string> {
        const instance = await DuckDBInstance.create(':memory:', { threads });
        const connection = await instance.connect();
        const file = join(folder, `${name}.csv`);
        await connection.run(`copy (${readingsQuery(source, field)}) to '${file}' (header)`);
        connection.closeSync();
        instance.closeSync();
        return readFileSync(file, 'utf8');
    }

    test('the generator says that they are invented', () => {
        expect(source).toMatch(/^-- Invented readings/);
    });

    test('the full size has 400,000 vehicles of 2,000 chassis', () => {
        expect(fieldOf(5_000_000)).toEqual({ vehicles: 400_000, chassis: 2000 });
    });

    test('the same bytes for one thread and for two', async () => {
        const field = { vehicles: 3000, chassis: 20 };
        expect(await readings('two', field, '2')).toBe(await readings('one', field, '1'));
    });

    test('cars from a later number on are those of the larger field', async () => {
        const all = (await readings('all', { vehicles: 30, chassis: 7 }, '2')).split('\n');
        const later = (await readings('later', { vehicles: 10, chassis: 7, first: 20 }, '2')).split('\n');
        expect(later.slice(1)).toEqual(all.slice(-later.length + 1));
        expect(later[1]).toMatch(/^v00000020,c00006,/);
    });

    test('every row loads, and there are about 12.5 a vehicle', async () => {
        const bench = await loadBench();
        const field = { vehicles: 400, chassis: 20 };
        const { rows, refused } = await bench.load('readings.csv', await readings('some', field, '2'));
        bench.close();
        expect(refused).toEqual([]);
        expect(rows[0]).toMatchObject({ kind: 'readings', duplicate_count: 0, rejected_count: 0 });
        // 6 of every car, 8 of three in four, 4 of one in eight; the spread of a draw of 400 is about 0.2.
        expect(Math.abs(rows[0]!.loaded_count / field.vehicles - 12.5)).toBeLessThan(1);
    });

    test.each(shapes.map((shape) => [shape.name, shape] as const))(
        '%s: every row loads',
        async (name, shape) => {
            const instance = await DuckDBInstance.create(':memory:');
            const connection = await instance.connect();
            const file = join(folder, `${name}.csv`);
            const query = shapedQuery(readingsQuery(source, { vehicles: 40, chassis: 7 }), shape);
            await connection.run(`copy (${query}) to '${file}' (header)`);
            connection.closeSync();
            instance.closeSync();
            const bench = await loadBench();
            const { rows } = await bench.load('readings.csv', readFileSync(file));
            const [named] = await bench.db.cells(
                'select count(*) as n from readings where vehicle = $vehicle and chassis = $chassis',
                { vehicle: shape.vehicle, chassis: shape.chassis },
            );
            bench.close();
            expect(rows[0]).toMatchObject({ duplicate_count: 0, rejected_count: 0 });
            expect(named!.n).toBeGreaterThan(0);
        },
    );

    test('several sessions of a car are visits of their own', async () => {
        const text = await readings('sessions', { vehicles: 40, chassis: 7, sessions: 27 }, '2');
        const visits = new Set(
            text
                .split('\n')
                .map((row) => row.split(','))
                .filter((cells) => cells[5] === 'session')
                .map((cells) => `${cells[0]} ${cells[4]}`),
        );
        const cars = new Set([...visits].map((visit) => visit.split(' ')[0]));
        expect(cars.size).toBeGreaterThan(20);
        expect(visits.size).toBe(27 * cars.size);
    });
});

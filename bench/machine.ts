import { arch, availableParallelism, cpus, platform, totalmem } from 'node:os';

export interface Machine {
    date: string;
    cores: number;
    processor: string;
    memory_gib: number;
    system: string;
    node: string;
    duckdb: string;
}

/** What the figures were measured on, and when. */
export function machine(duckdb: string): Machine {
    return {
        date: new Date().toISOString().slice(0, 10),
        cores: availableParallelism(),
        processor: cpus()[0]?.model.trim() || 'unknown',
        memory_gib: Math.round((totalmem() / 2 ** 30) * 10) / 10,
        system: `${platform()} ${arch()}`,
        node: process.version,
        duckdb,
    };
}
